#include "core/planning/earlier_study.h"

#include <algorithm>
#include <cmath>

#include "core/base/number_text.h"
#include "core/curve/measures.h"
#include "core/findings/analyse.h"
#include "core/findings/subject_values.h"
#include "core/planning/noncentral.h"

namespace aftercurve {

namespace {

/// Fills spread and interval of an SD; nothing where it cannot be used.
void fill(EarlierSpread& one, SpreadKind kind, std::optional<double> sd, std::optional<double> df,
          double alpha, const std::string& why) {
    one.df = df;
    if (!sd || !df || !(*df > 0.0)) {
        one.absentBecause = why.empty() ? "the study does not determine it" : why;
        return;
    }
    if (!(*sd > 0.0) || !std::isfinite(*sd)) {
        one.absentBecause = "the values do not vary";
        return;
    }
    // A CV comes here as the SD of logarithms within a subject.
    const auto asGiven = [kind](double s) {
        return kind == SpreadKind::cvWithin ? 100.0 * std::sqrt(std::expm1(s * s)) : s;
    };
    const double value = asGiven(*sd);
    if (!std::isfinite(value)) {
        one.absentBecause = "the CV is too large for a number";
        return;
    }
    one.spread = Spread{kind, value};
    const auto lower = chiSquareQuantile(0.5 * alpha, *df);
    const auto upper = chiSquareQuantile(1.0 - 0.5 * alpha, *df);
    if (lower && upper && *lower > 0.0) {
        const double low = asGiven(*sd * std::sqrt(*df / *upper));
        const double high = asGiven(*sd * std::sqrt(*df / *lower));
        if (std::isfinite(low) && std::isfinite(high)) {
            one.low = low;
            one.high = high;
        }
    }
}

/// Scaled by the largest deviation, so that no square overflows.
std::optional<double> sumOfSquares(const std::vector<double>& values, double& scale) {
    double mean = 0.0;
    for (const double value : values) {
        mean += value / static_cast<double>(values.size());
    }
    scale = 0.0;
    for (const double value : values) {
        scale = std::max(scale, std::abs(value - mean));
    }
    if (!std::isfinite(scale)) {
        return std::nullopt;
    }
    double sum = 0.0;
    for (const double value : values) {
        const double away = scale > 0.0 ? (value - mean) / scale : 0.0;
        sum += away * away;
    }
    return sum;
}

void addModel(const Findings& findings, EarlierSpread one, std::vector<EarlierSpread>& all) {
    for (const ModelFinding& model : findings.models) {
        if (model.analyte != one.analyte || model.measure != one.measure) {
            continue;
        }
        one.source = SpreadSource::model;
        one.unit = model.unit;
        one.n = model.fit.subjects;
        std::optional<double> sd;
        if (model.fit.varianceResidual) {
            sd = std::sqrt(*model.fit.varianceResidual);
        }
        std::optional<double> df;
        std::string why = model.fit.absentBecause;
        for (const ModelTerm& term : model.fit.terms) {
            if (term.factor == "food") {
                df = term.denominatorDf;
                why = why.empty() ? term.absentBecause : why;
            }
        }
        fill(one, SpreadKind::sdWithin, sd, df, findings.plan.alpha, why);
        all.push_back(std::move(one));
        return;
    }
}

void addRepeats(const Study& study, const Findings& findings, const EarlierSpread& base, std::size_t measure,
                const std::string& unit, std::vector<EarlierSpread>& all) {
    for (const Food& food : study.foods) {
        EarlierSpread one = base;
        one.source = SpreadSource::repeats;
        one.unit = unit;
        one.food = food.id;
        std::vector<double> sds;
        double df = 0.0;
        std::vector<double> weights;
        for (const SubjectValue& subject :
             subjectValues(study, findings.curves, one.analyte, food.id, measure)) {
            if (subject.visits.size() < 2) {
                continue;
            }
            double scale = 0.0;
            if (const auto sum = sumOfSquares(subject.visits, scale)) {
                const auto visits = static_cast<double>(subject.visits.size() - 1);
                sds.push_back(scale * std::sqrt(*sum / visits));
                weights.push_back(visits);
                df += visits;
                ++one.n;
            }
        }
        if (one.n == 0) {
            continue;
        }
        const double largest = *std::max_element(sds.begin(), sds.end());
        double pooled = 0.0;
        for (std::size_t i = 0; i < sds.size() && largest > 0.0; ++i) {
            pooled += weights[i] / df * (sds[i] / largest) * (sds[i] / largest);
        }
        fill(one, SpreadKind::sdWithin, largest * std::sqrt(pooled), df, findings.plan.alpha, {});
        all.push_back(std::move(one));
    }
}

void addComparison(const ComparisonFinding& comparison, EarlierSpread one, double alpha,
                   std::vector<EarlierSpread>& all) {
    one.source = SpreadSource::differences;
    one.unit = comparison.unit;
    one.food = comparison.food;
    one.comparator = comparison.comparator;
    one.n = comparison.pairs.size();
    std::optional<double> df;
    if (one.n >= 2) {
        df = static_cast<double>(one.n - 1);
    }
    fill(one, SpreadKind::sdOfDifferences, comparison.t.sdDifference, df, alpha, comparison.t.absentBecause);
    all.push_back(one);

    EarlierSpread ratios = one;
    ratios.source = SpreadSource::logRatios;
    ratios.unit = "%";
    ratios.spread.reset();
    ratios.low.reset();
    ratios.high.reset();
    ratios.absentBecause.clear();
    std::vector<double> logs;
    for (const PairFinding& pair : comparison.pairs) {
        if (!(pair.food > 0.0) || !(pair.comparator > 0.0)) {
            ratios.absentBecause = "a value is not above 0, so it has no logarithm";
            break;
        }
        logs.push_back(std::log(pair.food) - std::log(pair.comparator));
    }
    if (ratios.absentBecause.empty()) {
        double scale = 0.0;
        std::optional<double> sd;
        if (df) {
            if (const auto sum = sumOfSquares(logs, scale)) {
                // Half of the variance of the difference of two visits is that within a subject. Below 1e-11
                // of the logarithms' own size the ratios do not vary.
                sd = scale > 1e-11 ? scale * std::sqrt(*sum / *df / 2.0) : 0.0;
            }
        }
        fill(ratios, SpreadKind::cvWithin, sd, df, alpha, "two subjects with both foods are needed");
    }
    all.push_back(std::move(ratios));
}

void addIndex(const IndexFinding& index, EarlierSpread one, double alpha, std::vector<EarlierSpread>& all) {
    one.source = SpreadSource::indexValues;
    one.food = index.food;
    one.comparator = index.reference;
    one.n = index.index.n;
    one.mean = index.index.mean;
    std::optional<double> df;
    if (one.n >= 2) {
        df = static_cast<double>(one.n - 1);
    }
    fill(one, SpreadKind::sdOfDifferences, index.index.sd, df, alpha, index.index.absentBecause);
    all.push_back(std::move(one));
}

/// Four figures.
std::string figures(double value) {
    const double size = std::abs(value);
    const int before = size >= 1.0 && size < 1e15 ? static_cast<int>(std::log10(size)) + 1 : 0;
    return size != 0.0 && (size < 1e-3 || size >= 1e6)
               ? plainNumber(value)
               : fixedNumber(value, std::max(0, 4 - std::max(1, before)));
}

}  // namespace

std::string_view wordFor(SpreadSource source) {
    switch (source) {
        case SpreadSource::model:
            return "model";
        case SpreadSource::differences:
            return "differences";
        case SpreadSource::logRatios:
            return "log-ratios";
        case SpreadSource::repeats:
            return "repeats";
        case SpreadSource::indexValues:
            return "index";
    }
    return "";
}

std::vector<EarlierSpread> earlierSpreads(const Study& study, const Findings& findings,
                                          const std::string& analyte, const std::string& measure) {
    std::vector<EarlierSpread> all;
    EarlierSpread base;
    base.analyte = analyte;
    base.measure = measure;
    addModel(findings, base, all);
    const auto measures = measureList();
    const auto at =
        std::find_if(measures.begin(), measures.end(), [&](const auto& one) { return one.key == measure; });
    if (at != measures.end() && findAnalyte(study, analyte)) {
        std::string unit = all.empty() ? std::string{} : all.front().unit;
        for (const ComparisonFinding& comparison : findings.comparisons) {
            if (unit.empty() && comparison.analyte == analyte && comparison.measure == measure) {
                unit = comparison.unit;
            }
        }
        addRepeats(study, findings, base, static_cast<std::size_t>(at - measures.begin()), unit, all);
    }
    for (const ComparisonFinding& comparison : findings.comparisons) {
        if (comparison.analyte == analyte && comparison.measure == measure) {
            addComparison(comparison, base, findings.plan.alpha, all);
        }
    }
    for (const IndexFinding& index : findings.index) {
        if (index.analyte == analyte && index.measure == measure) {
            addIndex(index, base, findings.plan.alpha, all);
        }
    }
    return all;
}

Result<std::vector<EarlierSpread>> earlierSpreads(const Study& study, const Plan& plan,
                                                  const std::string& analyte, const std::string& measure) {
    Result<Findings> findings = analyse(study, plan);
    if (!findings) {
        return findings.problem();
    }
    const std::string which =
        analyte.empty() && !study.analytes.empty() ? study.analytes.front().id : analyte;
    return earlierSpreads(study, findings.value(), which, measure.empty() ? plan.measure : measure);
}

std::string sentenceFor(const EarlierSpread& spread, const Study& study, double alpha) {
    const auto label = [&](const std::string& food) { return labelOf(study, food); };
    std::string from;
    std::string what;
    switch (spread.source) {
        case SpreadSource::model:
            what = "SD within a subject";
            from = "the mixed model of all foods";
            break;
        case SpreadSource::repeats:
            what = "SD within a subject";
            from = "repeated visits with " + label(spread.food);
            break;
        case SpreadSource::differences:
            what = "SD of differences";
            from = label(spread.food) + " against " + label(spread.comparator);
            break;
        case SpreadSource::logRatios:
            what = "CV within a subject";
            from = "ratios of " + label(spread.food) + " to " + label(spread.comparator);
            break;
        case SpreadSource::indexValues:
            what = "SD between subjects of the index";
            from = label(spread.food) + " against " + label(spread.comparator);
            break;
    }
    if (!spread.spread) {
        return what + " from " + from + ": not estimable, " + spread.absentBecause;
    }
    std::string text = what + " " + figures(spread.spread->value) +
                       (spread.unit.empty() ? "" : " " + spread.unit) + " (" + std::to_string(spread.n) +
                       " subjects, " + figures(*spread.df) + " df";
    if (spread.low && spread.high) {
        text += "; " + confidencePercent(alpha) + " % interval " + figures(*spread.low) + " to " +
                figures(*spread.high);
    }
    return text + "), from " + from;
}

}  // namespace aftercurve
