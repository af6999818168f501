#include <algorithm>

#include "core/findings/recompute/parts.h"

namespace aftercurve {

namespace {

void addModel(ReportedRows& rows, const StudyNumbers& numbers, const ModelFinding& model) {
    const MixedModel& fit = model.fit;
    ReportedPlace place;
    place.table = "model";
    place.analyte = numbers.analyte.at(model.analyte);
    place.measure = model.measure;
    place.row = model.analyte + ", " + model.measure;
    const std::string row = place.row;
    addWord(rows, place, "formula", model.formula);
    addCount(rows, place, "rows", fit.rows);
    addCount(rows, place, "subjects", fit.subjects);
    addNumber(rows, place, "variance_subject", fit.varianceSubject, fit.absentBecause);
    addNumber(rows, place, "variance_residual", fit.varianceResidual, fit.absentBecause);
    addNumber(rows, place, "log_likelihood", fit.remlLogLikelihood, fit.absentBecause);
    addWord(rows, place, "boundary", fit.boundary ? "yes" : "no");
    addCount(rows, place, "carry_over_unknown", model.carryOverUnknown);
    place.table = "model_terms";
    for (const ModelTerm& term : fit.terms) {
        place.item = term.factor;
        place.row = row + ", " + term.factor;
        addCount(rows, place, "numerator_df", term.numeratorDf);
        addNumber(rows, place, "denominator_df", term.denominatorDf, term.absentBecause);
        addNumber(rows, place, "f", term.f, term.absentBecause);
        addNumber(rows, place, "p", term.p, term.absentBecause);
    }
    place.item.clear();
    place.table = "model_means";
    for (const ModelMean& mean : fit.means) {
        place.food = numbers.food.at(model.foods[mean.level]);
        place.row = row + ", " + model.foods[mean.level];
        addNumber(rows, place, "estimate", mean.estimate, mean.absentBecause);
        addNumber(rows, place, "se", mean.se, mean.absentBecause);
        addNumber(rows, place, "df", mean.df, mean.absentBecause);
        addNumber(rows, place, "ci_low", mean.ciLow, mean.absentBecause);
        addNumber(rows, place, "ci_high", mean.ciHigh, mean.absentBecause);
    }
    place.table = "model_differences";
    std::vector<const ModelComparison*> judged(fit.differences.size(), nullptr);
    for (const ModelComparison& comparison : model.family.comparisons) {
        judged[comparison.difference] = &comparison;
    }
    for (std::size_t i = 0; i < fit.differences.size(); ++i) {
        const ModelDifference& d = fit.differences[i];
        place.food = numbers.food.at(model.foods[d.level]);
        place.comparator = numbers.food.at(model.foods[d.minus]);
        place.row = row + ", " + model.foods[d.level] + " against " + model.foods[d.minus];
        addNumber(rows, place, "estimate", d.estimate, d.absentBecause);
        addNumber(rows, place, "se", d.se, d.absentBecause);
        addNumber(rows, place, "df", d.df, d.absentBecause);
        addNumber(rows, place, "t", d.t, d.absentBecause);
        addNumber(rows, place, "p", d.p, d.absentBecause);
        const ModelComparison* const own = judged[i];
        const std::string outside =
            model.family.absentBecause.empty() ? "outside the family" : model.family.absentBecause;
        addNumber(rows, place, "p_adjusted", model.pAdjusted[i], own ? own->absentBecause : outside);
        addNumber(rows, place, "simultaneous_ci_low", own ? own->ciLow : std::nullopt,
                  own ? own->intervalAbsentBecause : outside);
        addNumber(rows, place, "simultaneous_ci_high", own ? own->ciHigh : std::nullopt,
                  own ? own->intervalAbsentBecause : outside);
        addNumber(rows, place, "ci_low", d.ciLow, d.absentBecause);
        addNumber(rows, place, "ci_high", d.ciHigh, d.absentBecause);
    }
}

std::vector<std::optional<double>> normalOf(const NormalQuantiles& quantiles, std::size_t n) {
    std::vector<std::optional<double>> normal(n);
    for (const QuantilePoint& point : quantiles.points) {
        normal[point.index] = point.normal;
    }
    return normal;
}

void addResiduals(ReportedRows& rows, const StudyNumbers& numbers, const ModelFinding& model) {
    const ModelResiduals& found = model.residuals;
    ReportedPlace place;
    place.table = "model_residuals";
    place.analyte = numbers.analyte.at(model.analyte);
    place.measure = model.measure;
    const std::string row = model.analyte + ", " + model.measure + ", ";
    const auto normal = normalOf(found.residualQuantiles, found.residuals.size());
    for (std::size_t i = 0; i < found.residuals.size(); ++i) {
        const ModelResidual& residual = found.residuals[i];
        const ModelRowSource& source = model.rows[residual.row];
        place.food = numbers.food.at(source.food);
        place.subject = numbers.subject.at(source.subject);
        place.item = std::to_string(i + 1);
        place.row = row + source.subject + ", " + source.food;
        addNumber(rows, place, "fitted", residual.fitted);
        addNumber(rows, place, "residual", residual.residual);
        addNumber(rows, place, "scaled", residual.scaled, "too large");
        addNumber(rows, place, "normal_quantile", normal[i]);
    }
    place.table = "model_subjects";
    place.food = 0;
    place.item.clear();
    const auto ofSubjects = normalOf(found.subjectQuantiles, found.subjects.size());
    for (std::size_t s = 0; s < found.subjects.size(); ++s) {
        const std::string& id = model.subjects[found.subjects[s].subject];
        place.subject = numbers.subject.at(id);
        place.row = row + id;
        addNumber(rows, place, "effect", found.subjects[s].effect);
        addNumber(rows, place, "normal_quantile", ofSubjects[s]);
    }
}

void addGridRow(ReportedRows& rows, const ReportedPlace& place, const SensitivityRow& way) {
    const auto add = [&](std::string_view quantity, const std::optional<double>& value) {
        addNumber(rows, place, quantity, value, way.absentBecause);
    };
    addCount(rows, place, "changes", way.changes);
    addCount(rows, place, "n", way.n);
    add("mean_difference", way.meanDifference);
    add("ci_low", way.ciLow);
    add("ci_high", way.ciHigh);
    add("p", way.p);
    add("hodges_lehmann", way.hodgesLehmann);
    add("wilcoxon_p", way.signedRankP);
    add("standardised", way.standardised);
    add("standardised_low", way.standardisedLow);
    add("standardised_high", way.standardisedHigh);
}

}  // namespace

void addModels(ReportedRows& rows, const StudyNumbers& numbers, const Findings& findings) {
    for (const ModelFinding& model : findings.models) {
        addModel(rows, numbers, model);
        addResiduals(rows, numbers, model);
    }
}

void addSensitivity(ReportedRows& rows, const StudyNumbers& numbers, const Findings& findings) {
    const std::vector<GridSetting> settings = gridSettings(findings);
    for (const SensitivityFinding& finding : findings.sensitivity) {
        ReportedPlace place;
        place.table = "sensitivity_count";
        place.analyte = numbers.analyte.at(finding.analyte);
        place.food = numbers.food.at(finding.food);
        place.comparator = numbers.food.at(finding.comparator);
        const std::string row = finding.analyte + ", " + finding.food + " against " + finding.comparator;
        place.row = row;
        const SensitivityCount& count = finding.count;
        addCount(rows, place, "ways", count.ways);
        addCount(rows, place, "tested", count.tested);
        addCount(rows, place, "same_direction", count.sameDirection);
        addCount(rows, place, "same_side_of_alpha", count.sameSideOfAlpha);
        addCount(rows, place, "rank_tested", count.rankTested);
        addCount(rows, place, "rank_same_side_of_alpha", count.rankSameSideOfAlpha);
        place.table = "sensitivity";
        for (const SensitivityRow& way : finding.rows) {
            const GridSetting setting{way.windowEndMin, way.baseline, way.exclusionsApplied};
            const auto found = std::find(settings.begin(), settings.end(), setting);
            place.item = std::to_string(found - settings.begin() + 1);
            place.measure = way.measure;
            place.row = row + ", " + way.measure + ", setting " + place.item;
            addGridRow(rows, place, way);
        }
    }
}

}  // namespace aftercurve
