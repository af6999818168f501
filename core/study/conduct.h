#pragma once

#include <optional>
#include <span>
#include <string>
#include <string_view>

namespace aftercurve {

/// How the study was run, as its people state it: what no sample can show and a standard or an authority asks
/// for. Nothing is computed from it; what is not stated is reported as not stated.
struct Conduct {
    std::string population;      ///< "healthy adults of 20 to 45 years"
    std::string healthCriteria;  ///< who was not taken in: "diabetes, medicines that alter digestion"
    std::optional<bool> randomised;
    std::string blinding;                 ///< who did not know which food it was
    std::string comparatorReason;         ///< why this food is the one to compare with
    std::string compliance;               ///< how it was seen to that all was eaten: "watched; rests weighed"
    std::string conditionsOfUse;          ///< the dose and pattern that is proposed
    std::string duration;                 ///< whether and how long the effect was followed when eaten daily
    std::string ethics;                   ///< approval: committee and number
    std::string registration;             ///< public register and number
    std::optional<double> fastHours;      ///< shortest fast before a visit
    std::optional<double> eatingMinutes;  ///< longest time allowed for eating
    std::optional<double> analyserCvPercent;  ///< between-run CV of the glucose analyser

    bool operator==(const Conduct&) const = default;
};

/// One fact, and which member holds it; exactly one of the members is set.
struct ConductField {
    std::string_view key;    ///< in study.json: "population"
    std::string_view label;  ///< for people
    std::string Conduct::*text = nullptr;
    std::optional<double> Conduct::*number = nullptr;
    std::optional<bool> Conduct::*yesNo = nullptr;
};

/// All of them, in the order that forms and files show them.
std::span<const ConductField> conductFields();

/// A fact as text: the text itself, the number, "yes" or "no"; empty where it is not stated.
std::string conductText(const Conduct& conduct, const ConductField& field);

}  // namespace aftercurve
