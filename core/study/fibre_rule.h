#pragma once

#include <array>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

namespace aftercurve {

/// What a definition of fibre may include and a method may measure.
enum class FibrePart {
    insoluble,         ///< insoluble in the digest's buffer: cellulose, lignin, much arabinoxylan
    solubleHigh,       ///< soluble, precipitates in 78 % ethanol
    solubleLow,        ///< soluble in 78 % ethanol, three or more monomers
    resistantStarch1,  ///< physically enclosed
    resistantStarch2,  ///< granules as they grew
    resistantStarch3,  ///< retrograded
    resistantStarch4,  ///< chemically modified
    fructans,          ///< inulin and its oligomers
};

/// All of them, in the order of the tables.
inline constexpr std::array allFibreParts{FibrePart::insoluble,        FibrePart::solubleHigh,
                                          FibrePart::solubleLow,       FibrePart::resistantStarch1,
                                          FibrePart::resistantStarch2, FibrePart::resistantStarch3,
                                          FibrePart::resistantStarch4, FibrePart::fructans};

/// "insoluble", "soluble-high", "soluble-low", "rs1" ... "rs4", "fructans".
std::string_view wordFor(FibrePart part);
std::optional<FibrePart> fibrePartFrom(std::string_view word);

/// What an amount of fibre is counted against.
enum class FibreBasis { hundredG, hundredKcal, serving };

/// "100 g", "100 kcal", "serving".
std::string_view wordFor(FibreBasis basis);
std::optional<FibreBasis> fibreBasisFrom(std::string_view word);

/// One way in which a statement is met: at least so much fibre, g, in that; the limit included.
struct FibreThreshold {
    FibreBasis per = FibreBasis::hundredG;
    double atLeastG = 0.0;

    bool operator==(const FibreThreshold&) const = default;
};

/// A statement on a label; met where one of the ways is.
struct FibreStatementRule {
    std::string words;  ///< "source of fibre"
    std::vector<FibreThreshold> anyOf;

    bool operator==(const FibreStatementRule&) const = default;
};

/// How amounts from `fromG` on are declared, until the next step takes over.
struct FibreRoundingStep {
    double fromG = 0.0;
    bool above = false;      ///< only amounts above `fromG`, not `fromG` itself
    double nearestG = 0.0;   ///< to the nearest multiple, half upwards; 0: not by multiples
    int figures = 0;         ///< else to so many significant figures; 0: not by figures
    std::string words = {};  ///< else these words in place of a number: "less than 1 g"

    bool operator==(const FibreRoundingStep&) const = default;
};

/// What one authority says of fibre: a table to be edited, never advice.
struct FibreRule {
    std::string key;  ///< "eu"
    std::string title;
    std::string definition;  ///< where the definition stands, and what it says in short
    std::vector<FibrePart> includes;
    std::vector<FibrePart> leftToAuthority;  ///< parts that a national authority decides about
    std::vector<std::string> methods;        ///< keys of the methods that it names
    std::vector<FibreStatementRule> statements;
    FibreBasis labelPer = FibreBasis::hundredG;  ///< what the declared amount is of
    std::vector<FibreRoundingStep> rounding;     ///< ascending
    std::string source;  ///< of definition, statements and rounding; "from memory" where recalled
    std::string on;      ///< ISO 8601 date of the state that is meant

    bool operator==(const FibreRule&) const = default;
};

/// Why a rule cannot be used, as words; empty where it can: a key and a title, a source, numbers that are
/// finite and above 0 where they are limits, rounding steps ascending with one way of writing each.
std::string faultOf(const FibreRule& rule);

}  // namespace aftercurve
