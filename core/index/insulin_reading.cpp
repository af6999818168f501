#include <algorithm>
#include <cmath>
#include <string>
#include <utility>

#include "core/index/insulin_formulas.h"
#include "core/index/insulin_measures.h"

namespace aftercurve {

namespace {

using In = InsulinInput;
using insulin_formula::resolution;

InsulinOutcome none(std::string reason) {
    return {std::nullopt, std::move(reason)};
}

const std::array<InsulinInputKind, insulinInputCount>& inputs() {
    static constexpr std::array<InsulinInputKind, insulinInputCount> list{
        {{In::glucoseFasting, InsulinAnalyte::glucose, "glucose_fasting", "Fasting glucose", "mmol/L",
          "Baseline of glucose by the plan's rule"},
         {In::insulinFasting, InsulinAnalyte::insulin, "insulin_fasting", "Fasting insulin", "µIU/mL",
          "Baseline of insulin by the plan's rule"},
         {In::cPeptideFasting, InsulinAnalyte::cPeptide, "c_peptide_fasting", "Fasting C-peptide", "nmol/L",
          "Baseline of C-peptide by the plan's rule"},
         {In::glucose30, InsulinAnalyte::glucose, "glucose_30", "Glucose at 30 min", "mmol/L",
          "The sample planned at 30 min"},
         {In::insulin30, InsulinAnalyte::insulin, "insulin_30", "Insulin at 30 min", "µIU/mL",
          "The sample planned at 30 min"},
         {In::cPeptide30, InsulinAnalyte::cPeptide, "c_peptide_30", "C-peptide at 30 min", "nmol/L",
          "The sample planned at 30 min"},
         {In::glucoseMean, InsulinAnalyte::glucose, "glucose_mean", "Mean glucose, 0 to 120 min", "mmol/L",
          "Arithmetic mean of the baseline and the samples planned at 30, 60, 90 and 120 min"},
         {In::insulinMean, InsulinAnalyte::insulin, "insulin_mean", "Mean insulin, 0 to 120 min", "µIU/mL",
          "Arithmetic mean of the baseline and the samples planned at 30, 60, 90 and 120 min"},
         {In::glucoseArea, InsulinAnalyte::glucose, "glucose_area", "Total area of glucose", "mmol/L × min",
          "Total area over the plan's window"},
         {In::insulinArea, InsulinAnalyte::insulin, "insulin_area", "Total area of insulin", "pmol/L × min",
          "Total area over the plan's window"},
         {In::cPeptideArea, InsulinAnalyte::cPeptide, "c_peptide_area", "Total area of C-peptide",
          "nmol/L × min", "Total area over the plan's window"},
         {In::glucoseIncrement, InsulinAnalyte::glucose, "glucose_increment", "Incremental area of glucose",
          "mmol/L × min", "Positive incremental area over the plan's window; 0 where it is rounding"},
         {In::insulinIncrement, InsulinAnalyte::insulin, "insulin_increment", "Incremental area of insulin",
          "pmol/L × min", "Positive incremental area over the plan's window; 0 where it is rounding"}}};
    return list;
}

const InsulinCurve& curveOf(const InsulinVisit& visit, InsulinAnalyte analyte) {
    return analyte == InsulinAnalyte::glucose   ? visit.glucose
           : analyte == InsulinAnalyte::insulin ? visit.insulin
                                                : visit.cPeptide;
}

std::string_view nameOf(InsulinAnalyte analyte) {
    return analyte == InsulinAnalyte::glucose   ? "glucose"
           : analyte == InsulinAnalyte::insulin ? "insulin"
                                                : "C-peptide";
}

InsulinOutcome sampleAt(const InsulinCurve& curve, double timeMin, std::string_view name) {
    InsulinOutcome found;
    for (std::size_t i = 0; i < curve.timeMin.size() && i < curve.value.size(); ++i) {
        if (curve.timeMin[i] == timeMin) {
            if (found.value) {
                return none("two " + std::string{name} + " samples are planned at " +
                            std::to_string(static_cast<int>(timeMin)) + " min");
            }
            found.value = curve.value[i];
        }
    }
    if (!found.value) {
        found.absentBecause =
            "no " + std::string{name} + " sample at " + std::to_string(static_cast<int>(timeMin)) + " min";
    }
    return found;
}

InsulinOutcome fastingOf(const InsulinCurve& curve, std::string_view name) {
    return curve.fasting ? InsulinOutcome{curve.fasting, {}} : none("no fasting " + std::string{name});
}

InsulinOutcome meanOf(const InsulinCurve& curve, std::string_view name) {
    constexpr std::array later{30.0, 60.0, 90.0, 120.0};
    InsulinOutcome mean = fastingOf(curve, name);
    if (!mean.value) {
        return mean;
    }
    *mean.value /= 5.0;
    for (const double time : later) {
        const InsulinOutcome sample = sampleAt(curve, time, name);
        if (!sample.value) {
            return sample;
        }
        *mean.value += *sample.value / 5.0;
    }
    return mean;
}

InsulinOutcome areaOf(const std::optional<double>& area, std::string_view name) {
    return area ? InsulinOutcome{area, {}} : none("no area of " + std::string{name} + " in the window");
}

InsulinOutcome incrementOf(const InsulinCurve& curve, std::string_view name) {
    InsulinOutcome area = areaOf(curve.areaIncremental, name);
    if (area.value && curve.areaTotal && *area.value <= resolution * *curve.areaTotal) {
        area.value = 0.0;
    }
    return area;
}

/// In the unit of its column.
InsulinOutcome inputOf(const InsulinInputKind& kind, const InsulinVisit& visit) {
    const InsulinCurve& curve = curveOf(visit, kind.analyte);
    const std::string_view name = nameOf(kind.analyte);
    if (!curve.absentBecause.empty()) {
        return none(curve.absentBecause);
    }
    InsulinOutcome found;
    bool isConcentration = true;
    switch (kind.input) {
        case In::glucoseFasting:
        case In::insulinFasting:
        case In::cPeptideFasting:
            found = fastingOf(curve, name);
            break;
        case In::glucose30:
        case In::insulin30:
        case In::cPeptide30:
            found = sampleAt(curve, 30.0, name);
            break;
        case In::glucoseMean:
        case In::insulinMean:
            found = meanOf(curve, name);
            break;
        case In::glucoseArea:
        case In::insulinArea:
        case In::cPeptideArea:
            found = areaOf(curve.areaTotal, name);
            isConcentration = false;
            break;
        case In::glucoseIncrement:
        case In::insulinIncrement:
            found = incrementOf(curve, name);
            isConcentration = false;
            break;
    }
    if (found.value && isConcentration && kind.analyte == InsulinAnalyte::insulin) {
        *found.value /= visit.pmolPerUiu;
    }
    if (found.value && !std::isfinite(*found.value)) {
        return none(std::string{name} + " is too large to be represented");
    }
    return found;
}

}  // namespace

std::span<const InsulinInputKind> insulinInputList() {
    return inputs();
}

bool readsAnalyte(const InsulinMeasureKind& measure, InsulinAnalyte analyte) {
    return std::any_of(measure.inputs.begin(), measure.inputs.end(), [analyte](InsulinInput input) {
        return insulinInputList()[static_cast<std::size_t>(input)].analyte == analyte;
    });
}

InsulinReading insulinReading(const InsulinMeasureKind& measure, const InsulinVisit& visit) {
    InsulinReading reading;
    if (measure.referenceOnly && !visit.isReference) {
        reading.absentBecause = "derived for a drink of glucose, and this food is not the reference";
        return reading;
    }
    std::vector<std::string> reasons;
    for (const InsulinInput input : measure.inputs) {
        const InsulinOutcome found = inputOf(insulinInputList()[static_cast<std::size_t>(input)], visit);
        reading.inputs[static_cast<std::size_t>(input)] = found.value;
        if (!found.value && std::find(reasons.begin(), reasons.end(), found.absentBecause) == reasons.end()) {
            reasons.push_back(found.absentBecause);
        }
    }
    for (const std::string& reason : reasons) {
        reading.absentBecause += (reading.absentBecause.empty() ? "" : "; ") + reason;
    }
    if (!reasons.empty()) {
        return reading;
    }
    InsulinOutcome outcome = measure.compute(reading.inputs, visit);
    reading.value = outcome.value;
    reading.absentBecause = std::move(outcome.absentBecause);
    if (reading.value && measure.outside != nullptr) {
        reading.remark = measure.outside(reading.inputs);
    }
    return reading;
}

}  // namespace aftercurve
