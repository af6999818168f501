#include <charconv>
#include <map>
#include <set>

#include "core/base/number_text.h"
#include "core/base/version.h"
#include "core/files/csv_cell.h"
#include "core/findings/recompute/parts.h"
#include "core/study/curve_series.h"

namespace aftercurve {

namespace {

/// Curves with the exclusions and without them; the same ones in the same order.
struct BothStates {
    std::vector<CurveSeries> applied;
    std::vector<CurveSeries> ignored;  ///< empty where the study has no exclusion
};

BothStates bothStates(const Study& study, const Plan& plan) {
    BothStates states{curveSeriesOf(study, plan), {}};
    if (!study.exclusions.empty()) {
        Study whole = study;
        whole.exclusions.clear();
        states.ignored = curveSeriesOf(whole, plan);
    }
    return states;
}

bool sameSamples(const CurveSeries& a, const CurveSeries& b) {
    return a.timeMin == b.timeMin && a.value == b.value && a.scheduledMin == b.scheduledMin &&
           a.missingTimeMin == b.missingTimeMin;
}

/// The double in base 16, which every program reads back without rounding: "0x1.8p+1".
std::string exactNumber(double value) {
    char buffer[40];
    const auto end = std::to_chars(buffer, buffer + sizeof buffer, value, std::chars_format::hex).ptr;
    return "0x" + std::string{buffer, end};
}

std::string orEmpty(std::int32_t number) {
    return number == 0 ? std::string{} : std::to_string(number);
}

/// Rows of one curve; a scheduled time without a value has an empty one.
void addSamples(std::string& csv, const Study& study, const CurveSeries& curve, std::size_t number,
                std::string_view exclusions) {
    const Subject& subject = study.subjects[curve.subject];
    const std::string head = std::to_string(number) + ',' + textCell(subject.id) + ',' +
                             textCell(study.foods[curve.food].id) + ',' + std::to_string(curve.visit) + ',' +
                             orEmpty(curve.period) + ',' + textCell(subject.sequence) + ',' +
                             textCell(study.analytes[curve.analyte].id) + ',';
    const std::string tail = std::string{','} + (curve.excluded ? "yes" : "no") + ',' +
                             textCell(curve.excludedBecause) + ',' + std::string{exclusions} + '\n';
    for (std::size_t i = 0; i < curve.timeMin.size(); ++i) {
        csv += head;
        csv += plainNumber(curve.timeMin[i]) + ',' + plainNumber(curve.scheduledMin[i]) + ',' +
               plainNumber(curve.value[i]) + ',' + exactNumber(curve.value[i]);
        csv += tail;
    }
    for (const double time : curve.missingTimeMin) {
        csv += head;
        csv += plainNumber(time) + ',' + plainNumber(time) + ",,";
        csv += tail;
    }
}

const char* yesNo(bool yes) {
    return yes ? "yes" : "no";
}

std::string samplesFile(const Study& study, const BothStates& states) {
    std::string csv =
        "curve,subject,food,visit,period,sequence,analyte,time_min,scheduled_min,value,value_exact,excluded,"
        "excluded_because,exclusions\n";
    for (std::size_t i = 0; i < states.applied.size(); ++i) {
        const CurveSeries& curve = states.applied[i];
        if (states.ignored.empty() || sameSamples(curve, states.ignored[i])) {
            addSamples(csv, study, curve, i + 1, "either");
        } else {
            addSamples(csv, study, curve, i + 1, "applied");
            addSamples(csv, study, states.ignored[i], i + 1, "ignored");
        }
    }
    return csv;
}

std::string curvesFile(const Study& study, const BothStates& states) {
    std::string csv =
        "curve,subject_no,subject,food_no,food,visit,period,analyte_no,analyte,excluded,excluded_because,"
        "unusable,unusable_ignoring_exclusions\n";
    for (std::size_t i = 0; i < states.applied.size(); ++i) {
        const CurveSeries& curve = states.applied[i];
        const std::string& flawIgnored = states.ignored.empty() ? curve.flaw : states.ignored[i].flaw;
        csv += std::to_string(i + 1) + ',' + std::to_string(curve.subject + 1) + ',' +
               textCell(study.subjects[curve.subject].id) + ',' + std::to_string(curve.food + 1) + ',' +
               textCell(study.foods[curve.food].id) + ',' + std::to_string(curve.visit) + ',' +
               orEmpty(curve.period) + ',' + std::to_string(curve.analyte + 1) + ',' +
               textCell(study.analytes[curve.analyte].id) + ',' + yesNo(curve.excluded) + ',' +
               textCell(curve.excludedBecause) + ',' + textCell(curve.flaw) + ',' + textCell(flawIgnored) +
               '\n';
    }
    return csv;
}

}  // namespace

CurveFiles curveFiles(const Study& study, const Findings& findings) {
    const BothStates states = bothStates(study, findings.plan);
    return {curvesFile(study, states), samplesFile(study, states)};
}

std::string subjectsFile(const Study& study) {
    // Words in the order of their bytes from 1; 0: none given.
    const auto numbersOfWords = [&study](std::string Subject::*word) {
        std::map<std::string_view, std::string> numbers = {{"", ""}};
        for (const Subject& subject : study.subjects) {
            numbers.emplace(subject.*word, "");
        }
        std::size_t next = 0;
        for (auto& [text, number] : numbers) {
            number = std::to_string(next++);
        }
        return numbers;
    };
    const auto sequences = numbersOfWords(&Subject::sequence);
    const auto sexes = numbersOfWords(&Subject::sex);
    const auto orNothing = [](const std::optional<double>& value) {
        return value ? plainNumber(*value) : std::string{};
    };
    std::string csv = "subject_no,subject,sequence,sequence_no,sex,sex_no,age_y,bmi_kg_m2\n";
    for (std::size_t s = 0; s < study.subjects.size(); ++s) {
        const Subject& subject = study.subjects[s];
        csv += std::to_string(s + 1) + ',' + textCell(subject.id) + ',' + textCell(subject.sequence) + ',' +
               sequences.at(subject.sequence) + ',' + textCell(subject.sex) + ',' + sexes.at(subject.sex) +
               ',' + orNothing(subject.ageY) + ',' + orNothing(subject.bmiKgM2) + '\n';
    }
    return csv;
}

std::string foodsFile(const Study& study) {
    const auto orNothing = [](const std::optional<double>& value) {
        return value ? plainNumber(*value) : std::string{};
    };
    std::string csv = "food_no,food,label,role,available_carbohydrate_g,portion_g";
    for (const CompositionField& field : compositionFields()) {
        csv += ',' + std::string{field.key};
    }
    csv += '\n';
    for (std::size_t f = 0; f < study.foods.size(); ++f) {
        const Food& food = study.foods[f];
        csv += std::to_string(f + 1) + ',' + textCell(food.id) + ',' + textCell(food.label) + ',' +
               std::string{wordFor(food.role)} + ',' + orNothing(food.availableCarbohydrateG) + ',' +
               orNothing(food.portionG);
        for (const CompositionField& field : compositionFields()) {
            csv += ',' + orNothing(food.composition.*field.member);
        }
        csv += '\n';
    }
    return csv;
}

std::string analytesFile(const Study& study, const Plan& plan) {
    std::string csv = "analyte_no,analyte,unit,limit\n";
    for (std::size_t a = 0; a < study.analytes.size(); ++a) {
        csv += std::to_string(a + 1) + ',' + textCell(study.analytes[a].id) + ',' +
               textCell(study.analytes[a].unit) + ',';
        const std::optional<double> limit = limitOf(plan.curvePlan, study.analytes[a].id);
        csv += (limit ? plainNumber(*limit) : "") + '\n';
    }
    return csv;
}

std::string settingsFile(const Findings& findings) {
    std::string csv = "setting,window_end_min,baseline,exclusions\n";
    std::size_t number = 0;
    for (const GridSetting& setting : gridSettings(findings)) {
        csv += std::to_string(++number) + ',' + plainNumber(setting.windowEndMin) + ',' +
               std::string{wordFor(setting.baseline)} + ',' +
               (setting.exclusionsApplied ? "applied" : "ignored") + '\n';
    }
    return csv;
}

std::string planFile(const Study& study, const Findings& findings) {
    const Plan& plan = findings.plan;
    std::string csv = "key,value\n";
    const auto add = [&csv](const char* key, std::string_view value) {
        csv += key;
        csv += ',' + textCell(value) + '\n';
    };
    const auto numberOf = [](const std::optional<std::size_t>& place) {
        return place ? std::to_string(*place + 1) : std::string{};
    };
    // Numbers as they are: below 0 they begin with a sign, and no spreadsheet runs them.
    const auto addNumber = [&csv](const char* key, const std::string& number) {
        csv += key;
        csv += ',' + number + '\n';
    };
    const auto orNothing = [](const std::optional<double>& value) {
        return value ? plainNumber(*value) : std::string{};
    };
    add("software", versionText());
    add("window_end_min", plainNumber(plan.windowEndMin));
    add("baseline", wordFor(plan.baseline));
    add("missing_interior", wordFor(plan.missingInterior));
    add("measure", plan.measure);
    for (const std::string& measure : comparedMeasures(plan)) {
        add("compared_measure", measure);
    }
    for (const double end : partEnds(plan.curvePlan, plan.windowEndMin)) {
        add("part_end_min", plainNumber(end));
    }
    add("alpha", plainNumber(plan.alpha));
    add("multiplicity", wordFor(plan.multiplicity));
    add("comparator", plan.comparator);
    add("comparator_no", numberOf(findFood(study, plan.comparator)));
    add("index", yesNo(plan.index));
    add("index_reference_no", numberOf(findFood(study, indexReference(study, plan))));
    add("index_standard", wordFor(plan.indexPlan.standard));
    add("index_outlier_rule", wordFor(plan.indexOutlierRule));
    add("reference_factor", plainNumber(plan.indexPlan.referenceFactor));
    add("match_tolerance_percent", plainNumber(plan.indexPlan.matchTolerancePercent));
    add("glucose_no", numberOf(findAnalyte(study, "glucose")));
    add("insulin_no", numberOf(findAnalyte(study, "insulin")));
    add("c_peptide_no", numberOf(findAnalyte(study, "c-peptide")));
    add("insulin_pmol_per_uiu", plainNumber(study.insulinPmolPerUiu));
    add("exclusions", std::to_string(findings.exclusionCount));
    add("resamples", std::to_string(plan.resamples));
    add("seed", std::to_string(plan.seed));
    // By 32-bit words: a program that keeps numbers as doubles cannot hold all 64 bits.
    add("seed_low", std::to_string(plan.seed & 0xFFFFFFFFU));
    add("seed_high", std::to_string(plan.seed >> 32U));
    add("model_df", wordFor(plan.inference.modelDf));
    add("model_multiplicity", wordFor(plan.inference.modelMultiplicity));
    add("model_family", wordFor(plan.inference.modelFamily));
    add("carry_over", yesNo(plan.inference.carryOver));
    add("time_course", wordFor(plan.inference.timeCourse));
    add("time_course_value", wordFor(plan.inference.timeCourseValue));
    add("trim", plainNumber(plan.inference.trim));
    const auto& margins = plan.inference.margins;
    add("margin_analyte_no", margins.analyte.empty() ? (study.analytes.empty() ? "" : "1")
                                                     : numberOf(findAnalyte(study, margins.analyte)));
    addNumber("margin_difference_low", orNothing(margins.differenceLow));
    addNumber("margin_difference_high", orNothing(margins.differenceHigh));
    addNumber("margin_ratio_low", orNothing(margins.ratioLow));
    addNumber("margin_ratio_high", orNothing(margins.ratioHigh));
    addNumber("margin_non_inferiority", orNothing(margins.nonInferiority));
    add("better", wordFor(margins.better));
    addNumber("fibre_target_g", orNothing(plan.indexPlan.fibreTargetG));
    return csv;
}

}  // namespace aftercurve
