#pragma once

#include <QString>
#include <optional>
#include <span>
#include <string_view>

#include "core/findings/findings.h"
#include "core/study/study.h"

namespace aftercurve {

/// Texts of figures, all in the context "Figures": in the language of the figure that is being drawn
/// (FigureScope), else in that of the program.
struct FigureText {
    static QString tr(const char* text);
};

/// A label from a file, as it may stand in a figure: control characters become spaces (XML forbids most),
/// long ones are cut with an ellipsis.
QString plainLabel(std::string_view text);
/// Of the study, or as the figure's style calls it.
QString foodLabel(const Study& study, std::string_view foodId);

/// "Glucose", "C-peptide": the analyte's id with a capital.
QString analyteName(std::string_view analyteId);
/// Unit of the analyte, "" where the study has no such analyte.
QString analyteUnit(const Study& study, std::string_view analyteId);
/// "Incremental area (positive)"; the key where there is no such measure.
QString measureName(std::string_view measureKey);
/// The same inside a sentence: "incremental area (positive)".
QString measureInText(std::string_view measureKey);
/// "mmol/L × min", with spaces that do not break; "" where there is no such measure.
QString measureUnit(const Study& study, std::string_view analyteId, std::string_view measureKey);

/// "quantity (unit)", without the bracket where there is no unit.
QString withUnit(const QString& quantity, const QString& unit);

/// Decimals that suit values of this size: four figures or so.
int decimalsFor(std::span<const double> values);
/// Fixed decimals, the decimal mark of the figure's language (a point in English), a real minus sign; "−0.0"
/// is written "0.0".
QString numberText(double value, int decimals);
/// "p = 0.012", "p < 0.001", "p > 0.999".
QString pLabel(double p);
/// "95 %" for alpha 0.05.
QString confidenceText(double alpha);

/// "−12.3 mmol/L × min (95 % CI −20.1 to −4.5)", as far as there are values.
QString estimateText(const PairedT& t, const QString& unit, double alpha);

/// The analyte or measure that a choice means.
struct ChosenKeys {
    std::string analyte;
    std::string measure;
};
ChosenKeys chosenKeys(const Study& study, const Findings& findings, std::string_view analyte,
                      std::string_view measure);

}  // namespace aftercurve
