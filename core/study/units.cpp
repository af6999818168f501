#include "core/study/units.h"

#include <algorithm>
#include <array>

namespace aftercurve {

namespace {

constexpr double glucoseMgPerMmol = 18.016;
constexpr double insulinPmolPerUiu = 6.00;
constexpr double cPeptideNgPerNmol = 3.0203;
constexpr double triglycerideMgPerMmol = 88.57;

constexpr std::array<Unit, 9> units{{
    {"glucose", "mmol/L", 1.0, "SI unit"},
    {"glucose", "mg/dL", glucoseMgPerMmol, "molar mass of glucose 180.16 g/mol (from memory)"},
    {"insulin", "pmol/L", 1.0, "SI unit"},
    {"insulin", "µIU/mL", 1.0 / insulinPmolPerUiu, "6.00 pmol per µIU, WHO standard 66/304 (from memory)"},
    {"c-peptide", "nmol/L", 1.0, "SI unit"},
    {"c-peptide", "ng/mL", cPeptideNgPerNmol, "molar mass of C-peptide 3020.3 g/mol (from memory)"},
    {"c-peptide", "pmol/L", 1000.0, "decimal multiple"},
    {"triglycerides", "mmol/L", 1.0, "SI unit"},
    {"triglycerides", "mg/dL", triglycerideMgPerMmol,
     "mean molar mass 885.7 g/mol, common practice (from memory)"},
}};

struct Spelling {
    std::string_view folded;  ///< lower case, without blanks, "u" for the micro sign
    std::string_view unit;
};

constexpr std::array<Spelling, 9> spellings{{
    {"mmol/l", "mmol/L"},
    {"mg/dl", "mg/dL"},
    {"pmol/l", "pmol/L"},
    {"nmol/l", "nmol/L"},
    {"ng/ml", "ng/mL"},
    {"uiu/ml", "µIU/mL"},
    {"uu/ml", "µIU/mL"},
    {"mu/l", "µIU/mL"},
    {"miu/l", "µIU/mL"},
}};

std::string folded(std::string_view unit) {
    constexpr std::string_view microSign = "\xc2\xb5";
    constexpr std::string_view greekMu = "\xce\xbc";
    std::string text;
    while (!unit.empty()) {
        if (unit.starts_with(microSign) || unit.starts_with(greekMu)) {
            text += 'u';
            unit.remove_prefix(2);
            continue;
        }
        const char c = unit.front();
        if (c != ' ') {
            text += c >= 'A' && c <= 'Z' ? static_cast<char>(c - 'A' + 'a') : c;
        }
        unit.remove_prefix(1);
    }
    return text;
}

/// perSi as a fraction, so that factors which are exact in decimal (6.00, 1000) stay exact.
struct Fraction {
    double numerator = 1.0;
    double denominator = 1.0;
};

std::optional<Fraction> fractionOf(std::string_view analyte, std::string_view unit,
                                   const ConversionOptions& options) {
    for (const Unit& entry : units) {
        if (entry.analyte != analyte || entry.unit != unit) {
            continue;
        }
        if (unit == "µIU/mL") {
            return Fraction{1.0, options.insulinPmolPerUiu};
        }
        return Fraction{entry.perSi, 1.0};
    }
    return std::nullopt;
}

Problem unknownUnit(std::string_view analyte, std::string_view unit) {
    Problem problem;
    problem.analyte = std::string{analyte};
    problem.what = "the unit '" + std::string{unit} + "' of " + std::string{analyte} + " is not known";
    problem.remedy = isKnownAnalyte(analyte)
                         ? "use one of " + unitsOf(analyte)
                         : "no unit of this analyte is converted; give it the same unit everywhere";
    return problem;
}

}  // namespace

std::span<const Unit> unitTable() {
    return units;
}

std::string canonicalUnit(std::string_view unit) {
    const std::string text = folded(unit);
    const auto found = std::find_if(spellings.begin(), spellings.end(),
                                    [&text](const Spelling& s) { return s.folded == text; });
    return std::string{found == spellings.end() ? unit : found->unit};
}

bool isKnownAnalyte(std::string_view analyte) {
    return std::any_of(units.begin(), units.end(), [analyte](const Unit& u) { return u.analyte == analyte; });
}

std::string unitsOf(std::string_view analyte) {
    std::string list;
    for (const Unit& entry : units) {
        if (entry.analyte == analyte) {
            list += (list.empty() ? "" : ", ") + std::string{entry.unit};
        }
    }
    return list;
}

Result<double> conversionFactor(std::string_view analyte, std::string_view from, std::string_view to,
                                const ConversionOptions& options) {
    const std::string fromUnit = canonicalUnit(from);
    const std::string toUnit = canonicalUnit(to);
    if (!isKnownAnalyte(analyte)) {
        return fromUnit == toUnit ? Result<double>{1.0} : Result<double>{unknownUnit(analyte, from)};
    }
    const auto fromFraction = fractionOf(analyte, fromUnit, options);
    const auto toFraction = fractionOf(analyte, toUnit, options);
    if (!fromFraction || !toFraction) {
        return unknownUnit(analyte, fromFraction ? to : from);
    }
    if (fromUnit == toUnit) {
        return 1.0;
    }
    return (toFraction->numerator * fromFraction->denominator) /
           (toFraction->denominator * fromFraction->numerator);
}

}  // namespace aftercurve
