#include "core/findings/model_findings.h"

#include <algorithm>
#include <cassert>
#include <map>
#include <set>
#include <string_view>
#include <unordered_map>

#include "core/compare/carry_over.h"
#include "core/curve/measures.h"

namespace aftercurve {

namespace {

/// One value and where it stands.
struct Used {
    std::size_t subject = 0;
    std::size_t food = 0;
    int period = 0;
    double value = 0.0;
};

std::vector<Used> usedValues(const Study& study, std::span<const CurveFinding> curves,
                             const std::string& analyte, std::size_t measure) {
    std::unordered_map<std::string_view, std::size_t> subject;
    for (std::size_t s = 0; s < study.subjects.size(); ++s) {
        subject.emplace(study.subjects[s].id, s);
    }
    std::unordered_map<std::string_view, std::size_t> food;
    for (std::size_t f = 0; f < study.foods.size(); ++f) {
        food.emplace(study.foods[f].id, f);
    }
    std::vector<Used> used;
    for (const CurveFinding& curve : curves) {
        if (curve.analyte == analyte && curve.counts() && curve.measures[measure]) {
            used.push_back(
                {subject.at(curve.subject), food.at(curve.food), curve.period, *curve.measures[measure]});
        }
    }
    return used;
}

/// A factor with the level of each row; no levels: it is not in the model, `note` says why.
struct Candidate {
    ModelFactor factor;
    std::vector<std::size_t> level;
    std::string note;
};

Candidate periodOf(std::span<const Used> used) {
    Candidate candidate;
    std::map<int, std::size_t> position;
    for (const Used& row : used) {
        position.emplace(row.period, 0);
    }
    if (position.size() < 2) {
        candidate.note = position.begin()->first == 0 ? "no period in the model: none is given"
                                                      : "no period in the model: there is one only";
        return candidate;
    }
    if (position.contains(0)) {
        candidate.note = "no period in the model: some visits have none";
        return candidate;
    }
    candidate.factor.name = "period";
    for (auto& [period, index] : position) {
        index = candidate.factor.levels.size();
        candidate.factor.levels.push_back(std::to_string(period));
    }
    for (const Used& row : used) {
        candidate.level.push_back(position.at(row.period));
    }
    return candidate;
}

Candidate sequenceOf(const Study& study, std::span<const Used> used) {
    Candidate candidate;
    std::map<std::string_view, std::size_t> position;
    std::set<std::size_t> subjects;
    for (const Used& row : used) {
        position.emplace(study.subjects[row.subject].sequence, 0);
        subjects.insert(row.subject);
    }
    if (position.size() < 2) {
        candidate.note = position.begin()->first.empty() ? "no sequence in the model: none is given"
                                                         : "no sequence in the model: there is one only";
        return candidate;
    }
    if (position.contains("")) {
        candidate.note = "no sequence in the model: some subjects have none";
        return candidate;
    }
    if (position.size() >= subjects.size()) {
        candidate.note = "no sequence in the model: each subject has one of its own";
        return candidate;
    }
    candidate.factor.name = "sequence";
    for (auto& [sequence, index] : position) {
        index = candidate.factor.levels.size();
        candidate.factor.levels.emplace_back(sequence);
    }
    for (const Used& row : used) {
        candidate.level.push_back(position.at(study.subjects[row.subject].sequence));
    }
    return candidate;
}

MixedModelData dataOf(const std::vector<std::string>& foods, std::span<const Used> used,
                      std::span<const Candidate* const> candidates) {
    MixedModelData data;
    data.factors.push_back({"food", foods});
    for (const Candidate* candidate : candidates) {
        if (!candidate->level.empty()) {
            data.factors.push_back(candidate->factor);
        }
    }
    data.rows.reserve(used.size());
    for (std::size_t i = 0; i < used.size(); ++i) {
        MixedModelRow row;
        row.subject = used[i].subject;
        row.value = used[i].value;
        row.levels.push_back(used[i].food);
        for (const Candidate* candidate : candidates) {
            if (!candidate->level.empty()) {
                row.levels.push_back(candidate->level[i]);
            }
        }
        data.rows.push_back(std::move(row));
    }
    return data;
}

std::string formulaOf(const MixedModelData& data) {
    std::string formula;
    for (const ModelFactor& factor : data.factors) {
        formula += factor.name + " + ";
    }
    return formula + "(1 | subject)";
}

bool someDifferenceIsAbsent(const MixedModel& fit) {
    return std::any_of(fit.differences.begin(), fit.differences.end(),
                       [](const ModelDifference& d) { return !d.estimate; });
}

/// The plan and core/compare name an adjustment by the same word.
ModelAdjustment adjustmentOf(const Plan& plan) {
    const ModelMultiplicity rule = plan.inference.modelMultiplicity;
    const auto adjustment = modelAdjustmentFrom(
        rule == ModelMultiplicity::asComparisons ? wordFor(plan.multiplicity) : wordFor(rule));
    assert(adjustment);  // a test walks over all rules
    return *adjustment;
}

void adjust(const Plan& plan, const std::optional<std::size_t>& comparator, ModelFinding& finding) {
    ModelComparisonOptions options;
    options.adjustment = adjustmentOf(plan);
    options.alpha = plan.alpha;
    options.comparator = comparator;
    const bool all = plan.inference.modelFamily == DifferenceFamily::allPairs;
    options.family = options.adjustment == ModelAdjustment::tukey     ? ModelFamily::allPairs
                     : options.adjustment == ModelAdjustment::dunnett ? ModelFamily::againstComparator
                     : all                                            ? ModelFamily::allPairs
                                                                      : ModelFamily::againstComparator;
    finding.family = modelComparisons(finding.fit, options);
    finding.pAdjusted.assign(finding.fit.differences.size(), std::nullopt);
    for (const ModelComparison& comparison : finding.family.comparisons) {
        finding.pAdjusted[comparison.difference] = comparison.pAdjusted;
    }
}

/// What each row may carry over from the period before; rows where that is not known are taken out and
/// counted. Nothing where there is no order of periods.
Candidate carryOverOf(const Study& study, std::span<const CurveFinding> curves, ModelFinding& finding,
                      std::vector<Used>& used) {
    Candidate candidate;
    std::vector<CarryOverVisit> visits;
    for (const Used& row : used) {
        visits.push_back({row.subject, row.period, row.food});
    }
    if (std::any_of(visits.begin(), visits.end(), [](const auto& visit) { return visit.period < 1; })) {
        candidate.note = "no carry-over in the model: some visits have no period";
        return candidate;
    }
    // What was eaten is known of visits without a value too.
    for (const CurveFinding& curve : curves) {
        const auto subject = findSubject(study, curve.subject);
        const auto food = findFood(study, curve.food);
        if (curve.analyte == finding.analyte && curve.period > 0 && subject && food) {
            visits.push_back({*subject, curve.period, *food});
        }
    }
    const std::vector<CarryOver> carried = carryOverLevels(visits);
    candidate.factor = {"carry-over", finding.foods, true};
    std::vector<Used> kept;
    for (std::size_t i = 0; i < used.size(); ++i) {
        if (carried[i].source == CarryOverSource::firstPeriod) {
            candidate.level.push_back(noLevel);
        } else if (carried[i].food) {
            candidate.level.push_back(*carried[i].food);
        } else {
            ++finding.carryOverUnknown;
            continue;
        }
        kept.push_back(used[i]);
    }
    if (std::all_of(candidate.level.begin(), candidate.level.end(),
                    [](std::size_t level) { return level == noLevel; })) {
        candidate.note = "no carry-over in the model: no visit follows another";
        candidate.level.clear();
        finding.carryOverUnknown = 0;
        return candidate;
    }
    used = std::move(kept);
    return candidate;
}

void fit(const Study& study, const Plan& plan, std::span<const CurveFinding> curves, std::vector<Used> used,
         ModelFinding& finding) {
    for (const Food& food : study.foods) {
        finding.foods.push_back(food.id);
    }
    MixedModelOptions options;
    options.alpha = plan.alpha;
    options.comparator = findFood(study, plan.comparator);
    options.dfMethod =
        plan.inference.modelDf == ModelDf::kenwardRoger ? DfMethod::kenwardRoger : DfMethod::satterthwaite;
    finding.dfMethod = wordFor(plan.inference.modelDf);
    const std::vector<Used> all = used;
    Candidate carryOver;
    if (plan.inference.carryOver) {
        carryOver = carryOverOf(study, curves, finding, used);
    }
    Candidate period = periodOf(used);
    Candidate sequence = sequenceOf(study, used);
    const std::vector<const Candidate*> candidates{&period, &sequence, &carryOver};
    MixedModelData data = dataOf(finding.foods, used, candidates);
    finding.fit = mixedModel(data, options);
    if (!carryOver.level.empty() && someDifferenceIsAbsent(finding.fit)) {
        used = all;
        period = periodOf(used);
        sequence = sequenceOf(study, used);
        carryOver = {};
        carryOver.note = "no carry-over in the model: the design cannot tell it apart from the foods";
        finding.carryOverUnknown = 0;
        data = dataOf(finding.foods, used, candidates);
        finding.fit = mixedModel(data, options);
    }
    if (!period.level.empty() && someDifferenceIsAbsent(finding.fit)) {
        period = {};
        period.note =
            "no period in the model: the foods were kept to periods of their own, so that food and period "
            "cannot be told apart; the differences hold if the period makes none";
        finding.periodLeftOut = true;
        data = dataOf(finding.foods, used, candidates);
        finding.fit = mixedModel(data, options);
    }
    finding.formula = formulaOf(data);
    finding.residuals = modelResiduals(data, finding.fit);
    for (const Subject& subject : study.subjects) {
        finding.subjects.push_back(subject.id);
    }
    for (const Used& row : used) {
        finding.rows.push_back({study.subjects[row.subject].id, study.foods[row.food].id, row.period});
    }
    for (const Candidate* candidate : candidates) {
        if (!candidate->note.empty()) {
            finding.notes.push_back(candidate->note);
        }
    }
    adjust(plan, options.comparator, finding);
}

std::string joined(const std::vector<std::string>& names) {
    std::string text;
    for (const std::string& name : names) {
        text += (text.empty() ? "" : ", ") + name;
    }
    return text;
}

}  // namespace

std::vector<ModelFinding> modelFindings(const Study& study, const Plan& plan,
                                        std::span<const CurveFinding> curves) {
    std::vector<ModelFinding> findings;
    for (const Analyte& analyte : study.analytes) {
        for (const std::string& key : comparedMeasures(plan)) {
            const std::size_t measure = *measureIndex(key);
            const std::vector<Used> used = usedValues(study, curves, analyte.id, measure);
            std::set<std::size_t> foods;
            for (const Used& row : used) {
                foods.insert(row.food);
            }
            if (foods.size() < 2) {
                continue;
            }
            ModelFinding finding;
            finding.analyte = analyte.id;
            finding.measure = key;
            finding.unit = unitOf(measureList()[measure], analyte.unit);
            finding.comparator = plan.comparator;
            fit(study, plan, curves, used, finding);
            findings.push_back(std::move(finding));
        }
    }
    return findings;
}

std::vector<Problem> problemsOf(std::span<const ModelFinding> models) {
    std::vector<Problem> problems;
    for (const ModelFinding& model : models) {
        const std::string name =
            "mixed model of " + model.analyte + ", " + measureLabel(model.measure) + ": ";
        const auto add = [&](Severity severity, const std::string& what, std::string remedy) {
            Problem p;
            p.severity = severity;
            p.analyte = model.analyte;
            p.what = name + what;
            p.remedy = std::move(remedy);
            problems.push_back(std::move(p));
        };
        if (!model.fit.absentBecause.empty()) {
            // The paired comparison may stand all the same, so the model alone makes no error.
            add(Severity::warning, "not fitted, " + model.fit.absentBecause,
                "it needs subjects with several foods, more of them than the factors explain");
        }
        if (model.periodLeftOut) {
            add(Severity::warning,
                "food and period cannot be told apart, so the period is left out; the differences hold if "
                "the period makes none",
                "say so in the report");
        }
        if (!model.fit.dropped.empty()) {
            add(Severity::warning,
                "the design does not determine " + joined(model.fit.dropped) +
                    "; what depends on it is not estimated",
                "see which differences are absent");
        }
        if (model.carryOverUnknown > 0) {
            add(Severity::warning,
                std::to_string(model.carryOverUnknown) +
                    (model.carryOverUnknown == 1 ? " value is" : " values are") +
                    " not in the model with carry-over, because what was eaten in the period before is not "
                    "known",
                "give the visits before, or leave carry-over out of the plan");
        }
        if (model.fit.boundary) {
            add(Severity::note,
                "the variance between subjects is estimated as 0: they vary no more than their visits do, "
                "and the fit is that of a linear model without subjects",
                "");
        }
    }
    return problems;
}

}  // namespace aftercurve
