#pragma once

#include <array>
#include <optional>
#include <span>
#include <string>
#include <string_view>
#include <vector>

#include "core/study/fibre_rule.h"

namespace aftercurve {

/// How far a method measures a part of the fibre.
enum class FibreCoverage { none, part, whole };

/// "no", "in part", "yes".
std::string_view wordFor(FibreCoverage coverage);

/// The spread of one laboratory's repeated determinations that a study over laboratories found: s_r from its
/// lowest to its highest material, in g per 100 g or in % of the mean. Absent: no value at hand.
struct PublishedRepeatability {
    std::optional<double> lowG;
    std::optional<double> highG;
    std::optional<double> lowPercent;
    std::optional<double> highPercent;
    std::string_view source;  ///< "from memory" where recalled
};

/// An official method for fibre or for a part of it.
struct FibreMethod {
    std::string_view key;    ///< number of the AOAC Official Method: "2009.01"
    std::string_view title;  ///< how it works, in short
    std::array<FibreCoverage, allFibreParts.size()> coverage;  ///< by allFibreParts
    std::vector<std::string_view> fractions;                   ///< that it gives a number for
    std::string_view remark;                                   ///< what a reader must know of it
    PublishedRepeatability repeatability;
    std::string_view source;

    FibreCoverage of(FibrePart part) const;
    bool gives(std::string_view fraction) const;
    bool givesTotal() const { return gives("total"); }
};

/// The methods, by number. What each measures and misses: reviews of the methods, from memory, but for what a
/// source says was read.
std::span<const FibreMethod> fibreMethods();

/// By number, "AOAC " before it allowed, blanks around it not counted; null where it is not in the table.
const FibreMethod* findFibreMethod(std::string_view name);

/// The number of a method that is in the table, else the text as given.
std::string fibreMethodKey(std::string_view name);

/// How well a method's total suits a definition.
struct FibreSuitability {
    std::vector<FibrePart> missed;  ///< included, and not measured
    std::vector<FibrePart> partly;  ///< included, and measured in part
    std::vector<FibrePart> beyond;  ///< left to the national authority, and measured wholly or in part
    bool givesTotal = false;
    bool named = false;  ///< by the rule

    /// All that the definition includes is measured wholly, by one total.
    bool measuresAll() const { return givesTotal && missed.empty() && partly.empty(); }
};

/// The coverage of the method against the parts that the rule includes. Nothing but the two tables is used: a
/// method may be named by an authority and still miss a part.
FibreSuitability suitabilityOf(const FibreMethod& method, const FibreRule& rule);

/// "insoluble fibre", "resistant starch 1 (enclosed)".
std::string_view labelFor(FibrePart part);
/// Labels joined by ", ".
std::string labelsOf(std::span<const FibrePart> parts);

/// Parts that `more` measures to a larger extent than `less`.
std::vector<FibrePart> measuredMoreBy(const FibreMethod& more, const FibreMethod& less);

}  // namespace aftercurve
