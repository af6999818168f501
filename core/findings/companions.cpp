#include "core/findings/companions.h"

#include <algorithm>
#include <cmath>

#include "core/base/progress_part.h"
#include "core/curve/measures.h"
#include "core/findings/findings.h"
#include "core/findings/subject_values.h"

namespace aftercurve {

namespace {

struct Pairs {
    std::vector<double> food;
    std::vector<double> comparator;
};

Pairs pairsOf(const ComparisonFinding& comparison) {
    Pairs pairs;
    for (const PairFinding& pair : comparison.pairs) {
        pairs.food.push_back(pair.food);
        pairs.comparator.push_back(pair.comparator);
    }
    return pairs;
}

constexpr const char* noResampling = "the plan asks for no resampling (resamples: 0)";

/// False where it was stopped.
bool resample(const Plan& plan, const Pairs& pairs, const Differences& differences, const Progress& progress,
              CompanionFinding& finding) {
    const auto replicates = static_cast<std::uint64_t>(plan.resamples);
    PermutationSettings permutation;
    permutation.seed = plan.seed;
    if (replicates == 0) {
        // The exact test needs no random numbers; the random one is not run.
        const auto nonZero = static_cast<std::size_t>(
            std::count_if(differences.value.begin(), differences.value.end(),
                          [&](double d) { return std::abs(d) > differences.resolution; }));
        if (nonZero <= permutation.exactUpTo) {
            finding.permutation = permutationTest(differences, permutation);
        } else {
            finding.permutation.absentBecause = noResampling;
        }
        finding.bootstrap.absentBecause = noResampling;
        finding.ratioBootstrap.absentBecause = noResampling;
        return true;
    }
    permutation.replicates = replicates;
    const BootstrapSettings bootstrap{.replicates = replicates, .seed = plan.seed};
    finding.permutation = permutationTest(differences, permutation, partOf(progress, 0.0, 0.3));
    finding.bootstrap = bootstrapMean(differences, plan.alpha, bootstrap, partOf(progress, 0.3, 0.6));
    finding.ratioBootstrap = bootstrapRatioOfMeans(pairs.food, pairs.comparator, plan.alpha, bootstrap,
                                                   partOf(progress, 0.6, 1.0));
    return !progress || progress(1.0, "resampling");
}

CompanionFinding begun(const ComparisonFinding& comparison) {
    CompanionFinding finding;
    finding.analyte = comparison.analyte;
    finding.measure = comparison.measure;
    finding.unit = comparison.unit;
    finding.food = comparison.food;
    finding.comparator = comparison.comparator;
    for (const PairFinding& pair : comparison.pairs) {
        finding.subjects.push_back(pair.subject);
    }
    return finding;
}

RankFinding ranksOf(const Study& study, const Plan& plan, std::span<const CurveFinding> curves,
                    const std::string& analyte, std::size_t measure) {
    RankFinding finding;
    finding.analyte = analyte;
    finding.measure = measureList()[measure].key;
    std::vector<FoodBlock> blocks;
    for (const Subject& subject : study.subjects) {
        blocks.push_back({subject.id, {}});
    }
    for (const Food& food : study.foods) {
        finding.foods.push_back(food.id);
        const auto values = subjectValues(study, curves, analyte, food.id, measure);
        for (std::size_t s = 0; s < blocks.size(); ++s) {
            blocks[s].value.push_back(values[s].mean);
        }
    }
    FriedmanSettings settings;
    settings.alpha = plan.alpha;
    settings.comparator = findFood(study, plan.comparator);
    const std::string word{wordFor(plan.multiplicity)};
    settings.multiplicity = word;
    finding.friedman = friedman(blocks, study.foods.size(), settings);
    return finding;
}

/// Whether the plan's margins speak of this comparison.
bool hasMargins(const Study& study, const Plan& plan, const ComparisonFinding& comparison) {
    const std::string& analyte = plan.inference.margins.analyte;
    const std::string& meant = analyte.empty() ? study.analytes.front().id : analyte;
    return comparison.analyte == meant && comparison.measure == plan.measure && plan.alpha < 0.5;
}

void addMargins(const Plan& plan, const ComparisonFinding& comparison, const Pairs& pairs,
                Companions& found) {
    const MarginPlan& asked = plan.inference.margins;
    const auto add = [&](MarginScale scale, const std::optional<double>& low,
                         const std::optional<double>& high) {
        if (!low || !high) {
            return;
        }
        MarginFinding finding;
        finding.analyte = comparison.analyte;
        finding.measure = comparison.measure;
        finding.unit = scale == MarginScale::meanDifference ? comparison.unit : "";
        finding.food = comparison.food;
        finding.comparator = comparison.comparator;
        finding.scale = scale;
        finding.low = *low;
        finding.high = *high;
        finding.result = equivalence(scale, pairs.food, pairs.comparator, {*low, *high}, plan.alpha);
        found.margins.push_back(std::move(finding));
    };
    add(MarginScale::meanDifference, asked.differenceLow, asked.differenceHigh);
    add(MarginScale::geometricMeanRatio, asked.ratioLow, asked.ratioHigh);
    add(MarginScale::ratioOfMeans, asked.ratioLow, asked.ratioHigh);
    if (asked.nonInferiority) {
        NonInferiorityFinding finding;
        finding.analyte = comparison.analyte;
        finding.measure = comparison.measure;
        finding.unit = comparison.unit;
        finding.food = comparison.food;
        finding.comparator = comparison.comparator;
        finding.margin = *asked.nonInferiority;
        const MarginQuestion question{MarginScale::meanDifference, MarginClaim::nonInferiority,
                                      asked.better == BetterValue::lower ? BetterDirection::lowerIsBetter
                                                                         : BetterDirection::higherIsBetter,
                                      *asked.nonInferiority};
        // One-sided at half the two-sided level.
        finding.result = oneSidedMargin(question, pairs.food, pairs.comparator, plan.alpha / 2.0);
        found.nonInferiority.push_back(std::move(finding));
    }
}

}  // namespace

std::optional<Companions> companionsOf(const Study& study, const Plan& plan,
                                       std::span<const CurveFinding> curves,
                                       std::span<const ComparisonFinding> comparisons,
                                       const Progress& progress) {
    Companions found;
    for (std::size_t i = 0; i < comparisons.size(); ++i) {
        const ComparisonFinding& comparison = comparisons[i];
        const Pairs pairs = pairsOf(comparison);
        const Differences differences = pairedDifferences(pairs.food, pairs.comparator);
        CompanionFinding finding = begun(comparison);
        finding.sign = signTest(differences, plan.alpha);
        finding.trimmed = trimmedMean(differences, plan.alpha, plan.inference.trim);
        finding.logRatio = logRatio(pairs.food, pairs.comparator, plan.alpha);
        finding.ratio = ratioOfMeans(pairs.food, pairs.comparator, plan.alpha);
        finding.influence = influence(differences, plan.alpha);
        finding.quantiles = normalQuantiles(differences.value);
        const auto share = [&](std::size_t n) {
            return static_cast<double>(n) / static_cast<double>(comparisons.size());
        };
        if (!resample(plan, pairs, differences, partOf(progress, share(i), share(i + 1)), finding)) {
            return std::nullopt;
        }
        if (hasMargins(study, plan, comparison)) {
            addMargins(plan, comparison, pairs, found);
        }
        found.comparisons.push_back(std::move(finding));
    }
    if (study.foods.size() > 2 && !comparisons.empty()) {
        for (const Analyte& analyte : study.analytes) {
            for (const std::string& key : comparedMeasures(plan)) {
                found.ranks.push_back(ranksOf(study, plan, curves, analyte.id, *measureIndex(key)));
            }
        }
    }
    return found;
}

}  // namespace aftercurve
