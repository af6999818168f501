#include <algorithm>
#include <map>
#include <set>

#include "core/base/number_text.h"
#include "core/base/version.h"
#include "core/curve/measures.h"
#include "core/findings/curve_findings.h"
#include "core/findings/laboratory_words.h"
#include "core/findings/methods_parts.h"
#include "core/findings/rounded_words.h"
#include "core/findings/tolerance_words.h"
#include "core/study/curve_series.h"
#include "core/study/laboratory_exclusion.h"

namespace aftercurve {

namespace {

std::string minutesList(const std::vector<double>& times) {
    std::vector<std::string> words;
    words.reserve(times.size());
    for (const double time : times) {
        words.push_back(time < 0.0 ? "−" + plainNumber(-time) : plainNumber(time));
    }
    return listedWords(words) + " min";
}

std::string foodList(const Study& study) {
    std::vector<std::string> foods;
    for (const Food& food : study.foods) {
        foods.push_back(food.label + " (" + std::string{wordFor(food.role)} +
                        (food.availableCarbohydrateG
                             ? ", " + plainNumber(*food.availableCarbohydrateG) + " g available carbohydrate"
                             : std::string{}) +
                        (food.portionG ? ", portion " + plainNumber(*food.portionG) + " g" : std::string{}) +
                        ")");
    }
    return listedWords(foods);
}

void addSequences(MethodsWriting& w) {
    std::map<std::string, std::size_t> subjects;
    std::set<int> periods;
    for (const FlowStage& stage : w.findings.flow.stages) {
        if (!stage.sequence.empty()) {
            subjects[stage.sequence] = stage.subjects;
        }
        if (stage.period > 0) {
            periods.insert(stage.period);
        }
    }
    if (subjects.empty()) {
        w.add("The sequence of the foods is not recorded.");
        return;
    }
    std::vector<std::string> words;
    std::vector<std::string> keys;
    for (const auto& [sequence, n] : subjects) {
        words.push_back(sequence + " (" + countedWords(n, "subject") + ")");
        keys.push_back("sequence/" + sequence);
    }
    w.add("The foods were eaten in " + countedWords(subjects.size(), "sequence") +
              (periods.empty() ? std::string{} : " over " + countedWords(periods.size(), "period")) + ": " +
              listedWords(words) + ".",
          w.rows.rows("flow", keys));
}

void addConduct(MethodsWriting& w) {
    const Conduct& conduct = w.study.conduct;
    w.add(!conduct.randomised   ? "Whether the order of the foods was randomised is not stated."
          : *conduct.randomised ? "The order of the foods was randomised."
                                : "The order of the foods was not randomised.");
    w.add(conduct.blinding.empty() ? "Blinding is not stated." : "Blinding: " + conduct.blinding + ".");
    std::string stated;
    std::vector<std::string> missing;
    for (const ConductField& field : conductFields()) {
        if (field.key == "randomised" || field.key == "blinding") {
            continue;
        }
        const std::string text = conductText(conduct, field);
        if (text.empty()) {
            missing.emplace_back("'" + std::string{field.label} + "'");
        } else {
            stated += (stated.empty() ? "" : "; ") + std::string{field.label} + ": " + text;
        }
    }
    if (!stated.empty()) {
        w.add("As stated by those who ran the study: " + stated + ".");
    }
    if (!missing.empty()) {
        w.add("Not stated in the study files: " + listedWords(missing) + ".");
    }
}

}  // namespace

void addDesign(MethodsWriting& w) {
    std::map<std::uint32_t, std::set<std::uint32_t>> foodsOf;
    for (const Draw& draw : w.study.draws) {
        foodsOf[draw.subject].insert(draw.food);
    }
    const auto several = static_cast<std::size_t>(std::count_if(
        foodsOf.begin(), foodsOf.end(), [](const auto& entry) { return entry.second.size() > 1; }));
    const std::string who = countedWords(foodsOf.size(), "subject") +
                            (foodsOf.size() == 1 ? " was" : " were") + " given " +
                            countedWords(w.study.foods.size(), "food") + ": " + foodList(w.study) + ".";
    if (foodsOf.empty()) {
        w.add("No sample of any subject is on record.");
        return;
    }
    const std::string share = std::to_string(several) + " of " + std::to_string(foodsOf.size()) +
                              " subjects had more than one food";
    w.add((several == 0                   ? "No subject had more than one food. " + who
           : several == foodsOf.size()    ? "In a crossover within subjects, " + who
           : 2 * several > foodsOf.size() ? "In a crossover within subjects (" + share + "), " + who
                                          : share + ". " + who),
          w.rows.rows("flow", {"on_record", "without"}));
    addSequences(w);
    if (w.findings.plan.washoutDays) {
        w.add("At least " + plainNumber(*w.findings.plan.washoutDays) +
              (*w.findings.plan.washoutDays == 1.0 ? " day was" : " days were") +
              " asked for between two visits of a subject.");
    }
    addConduct(w);
}

void addSampling(MethodsWriting& w) {
    const Study& study = w.study;
    const Plan& plan = w.findings.plan;
    const std::vector<CurveSeries> series = curveSeriesOf(study, plan);
    const std::vector<double> schedule = commonSchedule(series);
    if (!schedule.empty()) {
        w.add("Blood was sampled at " + minutesList(schedule) +
              " from the first bite (times that more than half of the curves have).");
    }
    std::vector<std::string> analytes;
    for (const Analyte& analyte : study.analytes) {
        analytes.push_back(analyte.id + " in " +
                           (analyte.specimen.empty() ? "a specimen that is not stated" : analyte.specimen) +
                           " (" + analyte.unit + ")");
    }
    if (!analytes.empty()) {
        w.add("Measured were " + listedWords(analytes) + ".");
    }
    for (const Analyte& analyte : study.analytes) {
        if (const double factor = specimenFactor(analyte, plan); factor != 1.0) {
            w.add("Values of " + analyte.id + " in " + analyte.specimen + " were multiplied by " +
                  plainNumber(factor) + " to stand for plasma.");
        }
    }
    if (!study.nominalMin.empty()) {
        w.add(std::string{"Samples stood at the "} +
              (plan.timeBasis == TimeBasis::actual ? "actual time of the draw" : "planned time") +
              " where both times were recorded.");
    }
    if (!study.belowLimit.empty()) {
        w.add(countedWords(study.belowLimit.size(), "concentration") + " below the limit of quantification " +
              (plan.belowLimit == BelowLimitRule::half    ? "counted as half the limit."
               : plan.belowLimit == BelowLimitRule::limit ? "counted as the limit."
                                                          : "counted as missing."));
    }
    const auto& replicate = study.replicate;
    if (std::any_of(replicate.begin(), replicate.end(), [](std::int32_t number) { return number > 1; })) {
        w.add("Several determinations of one draw were averaged.");
    }
}

namespace {

void addExclusions(MethodsWriting& w) {
    const Study& study = w.study;
    if (w.findings.exclusionsIgnored) {
        w.add("The exclusions on record were not applied in this run.");
        return;
    }
    std::vector<SentenceSource> sources;
    std::string text;
    for (std::size_t i = 0; i < study.exclusions.size(); ++i) {
        const Exclusion& e = study.exclusions[i];
        if (isOfLaboratory(e)) {
            continue;
        }
        std::vector<std::string> place;
        if (!e.subject.empty()) {
            place.push_back("subject " + e.subject);
        }
        if (!e.food.empty()) {
            place.push_back(labelOf(study, e.food));
        }
        if (e.visit) {
            place.push_back("visit " + std::to_string(*e.visit));
        }
        if (!e.analyte.empty()) {
            place.push_back(e.analyte);
        }
        if (e.timeMin) {
            place.push_back("the sample at " + plainNumber(*e.timeMin) + " min");
        }
        text += sources.empty() ? "" : "; ";
        for (std::size_t p = 0; p < place.size(); ++p) {
            text += (p == 0 ? "" : ", ") + place[p];
        }
        text += (place.empty() ? "all curves" : "") + std::string{" ("} +
                (e.reason.empty() ? "no reason given" : e.reason) + (e.by.empty() ? "" : "; by " + e.by) +
                (e.on.empty() ? "" : ", " + e.on) + ")";
        sources.push_back({"exclusions", i});
    }
    if (sources.empty()) {
        return;
    }
    const std::string count =
        countedWords(sources.size(), "exclusion") + (sources.size() == 1 ? " was" : " were");
    w.add(count + " on record: " + text + ".", std::move(sources));
}

std::string definitionOf(const std::string& key) {
    const auto measure = measureIndex(key);
    return measure ? lowered(std::string{measureList()[*measure].definition}) : std::string{};
}

}  // namespace

void addCurveRules(MethodsWriting& w) {
    const Findings& findings = w.findings;
    const Plan& plan = findings.plan;
    w.add("The window ran from 0 to " + plainNumber(plan.windowEndMin) + " min.");
    w.add(plan.baseline == BaselineRule::fastingMean
              ? "Baseline was the mean of all values at or before 0 min."
              : "Baseline was the value at 0 min alone.");
    w.add("Areas were computed by linear trapezoids; the main measure was " + measureInWords(plan.measure) +
          ": " + definitionOf(plan.measure) + ".");
    std::vector<std::string> secondary;
    for (const std::string& key : plan.secondaryMeasures) {
        secondary.push_back(measureInWords(key) + " (" + definitionOf(key) + ")");
    }
    if (!secondary.empty()) {
        w.add(std::string{secondary.size() == 1 ? "The secondary measure was " : "Secondary measures were "} +
              listedWords(secondary) + ".");
    }
    w.add(plan.missingInterior == MissingInteriorRule::span
              ? "Where a value inside the window was missing the trapezoid spanned the gap; no value was "
                "imputed and none was extrapolated past the last sample."
              : "Curves with a missing value inside the window were left out; no value was imputed and none "
                "was extrapolated past the last sample.");
    std::size_t excluded = 0;
    std::size_t notEstimable = 0;
    for (const CurveFinding& curve : findings.curves) {
        excluded += curve.excluded ? 1U : 0U;
        notEstimable += !curve.notEstimable.empty() ? 1U : 0U;
    }
    w.add("Of " + countedWords(findings.curves.size(), "curve") + ", " + std::to_string(excluded) +
          (excluded == 1 ? " was" : " were") + " excluded with a recorded reason and " +
          std::to_string(notEstimable) + " could not be estimated.");
    addExclusions(w);
    if (!findings.curvePartFindings.empty()) {
        std::vector<double> limits = partEnds(plan.curvePlan, plan.windowEndMin);
        w.add("The window was also divided at " +
              minutesList(std::vector<double>(limits.begin() + 1, limits.end() - 1)) +
              ", with the incremental area of each part.");
    }
}

std::vector<Sentence> methodsSentences(const Study& study, const Findings& findings) {
    MethodsWriting w{study, findings, SentenceRows{study, findings}};
    addDesign(w);
    addSampling(w);
    addCurveRules(w);
    addTests(w);
    addIndexRules(w);
    for (const std::vector<Sentence>& more :
         {laboratoryMethods(study, findings), toleranceMethods(study, findings)}) {
        w.sentences.insert(w.sentences.end(), more.begin(), more.end());
    }
    addPlanAndProgram(w);
    return std::move(w.sentences);
}

}  // namespace aftercurve
