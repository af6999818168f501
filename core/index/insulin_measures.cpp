#include "core/index/insulin_measures.h"

#include <algorithm>

#include "core/index/insulin_formulas.h"

namespace aftercurve {

namespace {

using In = InsulinInput;
using namespace insulin_formula;

const std::vector<InsulinMeasureKind>& measures() {
    constexpr const char* homaValidity =
        "One fasting state; made for people who are not treated with insulin; insulin assays differ, so that "
        "values of two laboratories are not alike";
    constexpr const char* homaSource = "Matthews et al. 1985, Diabetologia 28:412 (from memory)";
    static const std::vector<InsulinMeasureKind> list{
        {"homa_ir",
         "HOMA-IR",
         "",
         "G0 (mmol/L) · I0 (µIU/mL) / 22.5",
         homaValidity,
         homaSource,
         {In::glucoseFasting, In::insulinFasting},
         true,
         false,
         false,
         homaIr,
         lowInsulinOrDiabetes},
        {"inverse_homa_ir",
         "1/HOMA-IR",
         "",
         "22.5 / (G0 (mmol/L) · I0 (µIU/mL))",
         homaValidity,
         homaSource,
         {In::glucoseFasting, In::insulinFasting},
         true,
         false,
         false,
         inverseHoma,
         lowInsulinOrDiabetes},
        {"log_homa_ir",
         "ln HOMA-IR",
         "",
         "Natural logarithm of G0 (mmol/L) · I0 (µIU/mL) / 22.5",
         homaValidity,
         homaSource,
         {In::glucoseFasting, In::insulinFasting},
         true,
         false,
         true,
         logHoma,
         lowInsulinOrDiabetes},
        {"homa_b",
         "HOMA-B",
         "%",
         "20 · I0 (µIU/mL) / (G0 (mmol/L) − 3.5)",
         "Fasting glucose above 3.5 mmol/L only, and unstable near it; read beside HOMA-IR, never alone",
         homaSource,
         {In::glucoseFasting, In::insulinFasting},
         true,
         false,
         false,
         homaB,
         nearPole},
        {"quicki",
         "QUICKI",
         "",
         "1 / (log10 I0 (µIU/mL) + log10 G0 (mg/dL))",
         "Fasting; less exact in lean people with low insulin",
         "Katz et al. 2000, J Clin Endocrinol Metab 85:2402 "
         "(from memory)",
         {In::glucoseFasting, In::insulinFasting},
         true,
         false,
         false,
         quicki,
         lowInsulinOrDiabetes},
        {"fasting_glucose_insulin_ratio",
         "Fasting glucose / insulin",
         "mg/dL per µIU/mL",
         "G0 (mg/dL) / I0 (µIU/mL)",
         "Weak: high glucose raises it as high sensitivity does, so that it misleads once fasting glucose is "
         "raised; for people with normal fasting glucose only",
         "Legro et al. 1998, J Clin Endocrinol Metab 83:2694 (from memory)",
         {In::glucoseFasting, In::insulinFasting},
         true,
         false,
         false,
         fastingRatio,
         lowInsulinOrDiabetes},
        {"insulinogenic_index",
         "Insulinogenic index",
         "µIU/mL per mg/dL",
         "(I30 − I0) (µIU/mL) / (G30 − G0) (mg/dL)",
         "Made for a drink of glucose; only where glucose rises, and unstable where it rises little. Below 0 "
         "where insulin falls",
         "Seltzer et al. 1967, J Clin Invest 46:323 (from memory)",
         {In::glucoseFasting, In::insulinFasting, In::glucose30, In::insulin30},
         false,
         false,
         false,
         insulinogenic,
         smallRise},
        {"insulinogenic_times_inverse_homa",
         "Insulinogenic index × 1/HOMA-IR",
         "µIU/mL per mg/dL",
         "(I30 − I0) (µIU/mL) / (G30 − G0) (mg/dL) · 22.5 / (G0 (mmol/L) · I0 (µIU/mL))",
         "A product in the manner of a disposition index; that the two factors are bound by a hyperbola is "
         "an "
         "assumption, not tested here",
         "Product as in its name; the idea: Bergman et al. 1981, J Clin Invest 68:1456 (from memory)",
         {In::glucoseFasting, In::insulinFasting, In::glucose30, In::insulin30},
         false,
         false,
         false,
         insulinogenicTimesInverseHoma,
         smallRise},
        {"whole_body_sensitivity",
         "Whole-body insulin sensitivity",
         "",
         "10000 / √(G0 · I0 · mean G · mean I), mg/dL and µIU/mL, means of 0, 30, 60, 90 and 120 min",
         "Derived for a drink of 75 g glucose; computed for the reference food alone",
         "Matsuda & DeFronzo 1999, Diabetes Care 22:1462 (from memory)",
         {In::glucoseFasting, In::insulinFasting, In::glucoseMean, In::insulinMean},
         false,
         true,
         false,
         wholeBody,
         lowInsulin},
        {"insulinogenic_times_whole_body",
         "Insulinogenic index × whole-body sensitivity",
         "µIU/mL per mg/dL",
         "(I30 − I0) (µIU/mL) / (G30 − G0) (mg/dL) · 10000 / √(G0 · I0 · mean G · mean I)",
         "As its factors; computed for the reference food alone",
         "Product as in its name; the idea: Bergman et al. 1981, J Clin Invest 68:1456 (from memory)",
         {In::glucoseFasting, In::insulinFasting, In::glucose30, In::insulin30, In::glucoseMean,
          In::insulinMean},
         false,
         true,
         false,
         insulinogenicTimesWholeBody,
         smallRise},
        {"c_peptide_insulin_ratio_fasting",
         "Fasting C-peptide / insulin",
         "mol/mol",
         "1000 · C0 (nmol/L) / I0 (pmol/L)",
         "C-peptide is cleared more slowly than insulin: a ratio of concentrations, not of secretion",
         "Molar ratio; common practice, no source",
         {In::insulinFasting, In::cPeptideFasting},
         true,
         false,
         false,
         cPeptideInsulinFasting,
         lowInsulin},
        {"c_peptide_insulin_ratio_area",
         "C-peptide / insulin, areas",
         "mol/mol",
         "1000 · total area of C-peptide (nmol/L × min) / total area of insulin (pmol/L × min)",
         "C-peptide is cleared more slowly than insulin, so that the ratio depends on the window",
         "Molar ratio; common practice, no source",
         {In::insulinArea, In::cPeptideArea},
         false,
         false,
         false,
         cPeptideInsulinArea,
         nullptr},
        {"c_peptide_increment_index",
         "C-peptide increment / glucose increment",
         "nmol/mmol",
         "(C30 − C0) (nmol/L) / (G30 − G0) (mmol/L)",
         "Only where glucose rises, and unstable where it rises little. Below 0 where C-peptide falls",
         "By analogy with the insulinogenic index; common practice, no source",
         {In::glucoseFasting, In::cPeptideFasting, In::glucose30, In::cPeptide30},
         false,
         false,
         false,
         cPeptideIncrement,
         smallRise},
        {"insulin_glucose_area_ratio",
         "Insulin / glucose, total areas",
         "pmol/mmol",
         "Total area of insulin (pmol/L × min) / total area of glucose (mmol/L × min)",
         "Falls with sensitivity and with failing secretion alike; depends on the window",
         "Common practice, no source",
         {In::glucoseArea, In::insulinArea},
         false,
         false,
         false,
         insulinGlucoseArea,
         nullptr},
        {"insulin_glucose_increment_ratio",
         "Insulin / glucose, incremental areas",
         "pmol/mmol",
         "Positive incremental area of insulin (pmol/L × min) / that of glucose (mmol/L × min)",
         "Unstable where glucose hardly rises; depends on the window",
         "Common practice, no source",
         {In::glucoseIncrement, In::insulinIncrement},
         false,
         false,
         false,
         insulinGlucoseIncrement,
         nullptr}};
    return list;
}

}  // namespace

std::span<const InsulinMeasureKind> insulinMeasureList() {
    return measures();
}

std::optional<std::size_t> insulinMeasureIndex(std::string_view key) {
    const auto& list = measures();
    const auto found =
        std::find_if(list.begin(), list.end(), [key](const InsulinMeasureKind& m) { return m.key == key; });
    if (found == list.end()) {
        return std::nullopt;
    }
    return static_cast<std::size_t>(found - list.begin());
}

}  // namespace aftercurve
