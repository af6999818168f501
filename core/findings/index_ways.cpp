#include "core/findings/index_ways.h"

#include "core/base/number_text.h"
#include "core/base/progress_part.h"
#include "core/compare/bootstrap.h"
#include "core/compare/log_ratio.h"
#include "core/compare/ratio_of_means.h"
#include "core/compare/sign_test.h"
#include "core/findings/index_findings.h"
#include "core/index/ratio_identity.h"

namespace aftercurve {

namespace {

constexpr const char* noResampling = "the plan asks for no resampling (resamples: 0)";

/// The kept subjects of one index.
struct KeptSubjects {
    std::vector<double> value;
    std::vector<double> test;
    std::vector<double> reference;
};

KeptSubjects keptOf(const FoodIndex& index) {
    KeptSubjects kept;
    for (const SubjectIndex& subject : index.subjects) {
        if (subject.value && !subject.leftOut && subject.testMean && subject.referenceMean) {
            kept.value.push_back(*subject.value);
            kept.test.push_back(*subject.testMean);
            kept.reference.push_back(*subject.referenceMean);
        }
    }
    return kept;
}

void addRemark(std::string& text, const std::string& more) {
    if (!more.empty()) {
        text += (text.empty() ? "" : "; ") + more;
    }
}

std::string setWord(FiellerSet set) {
    switch (set) {
        case FiellerSet::bounded:
            return "bounded";
        case FiellerSet::halfLine:
            return "half-line";
        case FiellerSet::outside:
            return "outside";
        case FiellerSet::wholeLine:
            return "whole-line";
        case FiellerSet::none:
            break;
    }
    return {};
}

std::string setRemark(FiellerSet set) {
    switch (set) {
        case FiellerSet::outside:
            return "not bounded: the set is all up to the first and from the second number on";
        case FiellerSet::wholeLine:
            return "not bounded: the set is every number, the data say nothing of it";
        case FiellerSet::halfLine:
            return "not bounded: the set has one end only";
        case FiellerSet::none:
        case FiellerSet::bounded:
            break;
    }
    return {};
}

std::optional<double> hundredfold(const std::optional<double>& value) {
    return onGlucoseScale({value, {}, {}}, 100.0).estimate;
}

IndexWay wayOf(const IndexFinding& finding, IndexWayKind kind, std::size_t n) {
    IndexWay way;
    way.analyte = finding.analyte;
    way.measure = finding.measure;
    way.food = finding.food;
    way.reference = finding.reference;
    way.way = kind;
    way.n = n;
    return way;
}

void takeBootstrap(IndexWay& way, const Bootstrap& bootstrap, bool bca, double factor) {
    const IndexInterval interval =
        onGlucoseScale({way.estimate, bca ? bootstrap.bcaLow : bootstrap.percentileLow,
                        bca ? bootstrap.bcaHigh : bootstrap.percentileHigh},
                       factor);
    way.ciLow = interval.low;
    way.ciHigh = interval.high;
    addRemark(way.remark, bootstrap.absentBecause);
    if (bootstrap.absentBecause.empty() && bca) {
        addRemark(way.remark, bootstrap.bcaAbsentBecause);
    }
    if (bootstrap.replicates > 0) {
        addRemark(way.remark, std::to_string(bootstrap.replicates) + " resamples");
    }
}

void addMeans(std::vector<IndexWay>& ways, const IndexFinding& finding, const KeptSubjects& kept,
              const Bootstrap& bootstrap) {
    const FoodIndex& index = finding.index;
    IndexWay way = wayOf(finding, IndexWayKind::meanOfRatios, kept.value.size());
    way.estimate = index.mean;
    way.ciLow = index.ciLow;
    way.ciHigh = index.ciHigh;
    way.remark = index.absentBecause;
    ways.push_back(std::move(way));
    for (const auto kind : {IndexWayKind::meanOfRatiosBca, IndexWayKind::meanOfRatiosPercentile}) {
        IndexWay resampled = wayOf(finding, kind, kept.value.size());
        resampled.estimate = index.mean;
        takeBootstrap(resampled, bootstrap, kind == IndexWayKind::meanOfRatiosBca, 1.0);
        ways.push_back(std::move(resampled));
    }
}

void addRatios(std::vector<IndexWay>& ways, const Plan& plan, const IndexFinding& finding,
               const KeptSubjects& kept, const Bootstrap& bootstrap) {
    const RatioOfMeans ratio = ratioOfMeans(kept.test, kept.reference, plan.alpha);
    const RatioIdentity identity = ratioIdentity(kept.test, kept.reference);
    IndexWay way = wayOf(finding, IndexWayKind::ratioOfMeans, kept.value.size());
    way.estimate = hundredfold(ratio.ratio);
    way.ciLow = hundredfold(ratio.low);
    way.ciHigh = hundredfold(ratio.high);
    way.set = setWord(ratio.set);
    way.covarianceTerm = identity.covarianceTerm;
    addRemark(way.remark, ratio.absentBecause);
    addRemark(way.remark, setRemark(ratio.set));
    if (!identity.covarianceTerm && identity.absentBecause != ratio.absentBecause) {
        addRemark(way.remark, identity.absentBecause);
    }
    const std::optional<double> estimate = way.estimate;
    ways.push_back(std::move(way));
    for (const auto kind : {IndexWayKind::ratioOfMeansBca, IndexWayKind::ratioOfMeansPercentile}) {
        IndexWay resampled = wayOf(finding, kind, kept.value.size());
        resampled.estimate = estimate;
        takeBootstrap(resampled, bootstrap, kind == IndexWayKind::ratioOfMeansBca, 100.0);
        resampled.covarianceTerm = identity.covarianceTerm;
        ways.push_back(std::move(resampled));
    }
}

void addOthers(std::vector<IndexWay>& ways, const Plan& plan, const IndexFinding& finding,
               const KeptSubjects& kept) {
    const LogRatio logs = logRatio(kept.test, kept.reference, plan.alpha);
    IndexWay geometric = wayOf(finding, IndexWayKind::geometricMean, kept.value.size());
    geometric.estimate = hundredfold(logs.ratio);
    geometric.ciLow = hundredfold(logs.ciLow);
    geometric.ciHigh = hundredfold(logs.ciHigh);
    geometric.remark = logs.absentBecause;
    ways.push_back(std::move(geometric));
    const SignTest order = signTest(asDifferences(kept.value), plan.alpha);
    IndexWay median = wayOf(finding, IndexWayKind::median, kept.value.size());
    median.estimate = order.median;
    median.ciLow = order.ciLow;
    median.ciHigh = order.ciHigh;
    median.remark = order.intervalAbsentBecause;
    if (order.achievedConfidence) {
        addRemark(median.remark,
                  "interval holds with " + confidencePercent(1.0 - *order.achievedConfidence) + " %");
    }
    ways.push_back(std::move(median));
}

}  // namespace

std::string keyOf(IndexWayKind way) {
    switch (way) {
        case IndexWayKind::meanOfRatios:
            return "mean_of_ratios";
        case IndexWayKind::meanOfRatiosBca:
            return "mean_of_ratios_bca";
        case IndexWayKind::meanOfRatiosPercentile:
            return "mean_of_ratios_percentile";
        case IndexWayKind::ratioOfMeans:
            return "ratio_of_means";
        case IndexWayKind::ratioOfMeansBca:
            return "ratio_of_means_bca";
        case IndexWayKind::ratioOfMeansPercentile:
            return "ratio_of_means_percentile";
        case IndexWayKind::geometricMean:
            return "geometric_mean";
        case IndexWayKind::median:
            return "median";
    }
    return {};
}

std::string labelOf(IndexWayKind way) {
    switch (way) {
        case IndexWayKind::meanOfRatios:
        case IndexWayKind::meanOfRatiosBca:
        case IndexWayKind::meanOfRatiosPercentile:
            return "Mean of ratios";
        case IndexWayKind::ratioOfMeans:
        case IndexWayKind::ratioOfMeansBca:
        case IndexWayKind::ratioOfMeansPercentile:
            return "Ratio of means";
        case IndexWayKind::geometricMean:
            return "Geometric mean of ratios";
        case IndexWayKind::median:
            return "Median of ratios";
    }
    return {};
}

std::string intervalLabelOf(IndexWayKind way) {
    switch (way) {
        case IndexWayKind::meanOfRatios:
            return "t";
        case IndexWayKind::meanOfRatiosBca:
        case IndexWayKind::ratioOfMeansBca:
            return "bootstrap, BCa";
        case IndexWayKind::meanOfRatiosPercentile:
        case IndexWayKind::ratioOfMeansPercentile:
            return "bootstrap, percentile";
        case IndexWayKind::ratioOfMeans:
            return "Fieller";
        case IndexWayKind::geometricMean:
            return "t of logarithms";
        case IndexWayKind::median:
            return "order statistics";
    }
    return {};
}

std::optional<std::vector<IndexWay>> indexWays(const Plan& plan, std::span<const IndexFinding> indices,
                                               const Progress& progress) {
    std::vector<IndexWay> ways;
    const auto replicates = static_cast<std::uint64_t>(plan.resamples);
    const BootstrapSettings settings{.replicates = replicates, .seed = plan.seed};
    for (std::size_t i = 0; i < indices.size(); ++i) {
        const IndexFinding& finding = indices[i];
        const KeptSubjects kept = keptOf(finding.index);
        Bootstrap ofMean;
        Bootstrap ofRatio;
        if (replicates == 0) {
            ofMean.absentBecause = noResampling;
            ofRatio.absentBecause = noResampling;
        } else {
            const auto share = [&](double part) {
                return (static_cast<double>(i) + part) / static_cast<double>(indices.size());
            };
            ofMean = bootstrapMean(asDifferences(kept.value), plan.alpha, settings,
                                   partOf(progress, share(0.0), share(0.4)));
            ofRatio = bootstrapRatioOfMeans(kept.test, kept.reference, plan.alpha, settings,
                                            partOf(progress, share(0.4), share(1.0)));
            if (progress && !progress(share(1.0), "index in several ways")) {
                return std::nullopt;
            }
        }
        const std::size_t first = ways.size();
        addMeans(ways, finding, kept, ofMean);
        addRatios(ways, plan, finding, kept, ofRatio);
        addOthers(ways, plan, finding, kept);
        for (IndexWay& way : std::span{ways}.subspan(first)) {
            if (way.estimate && finding.index.mean) {
                way.difference = *way.estimate - *finding.index.mean;
            }
        }
    }
    return ways;
}

std::vector<IndexOutliers> indexOutliers(const Study& study, const Plan& plan,
                                         std::span<const CurveFinding> curves) {
    constexpr IndexOutlierRule rules[] = {IndexOutlierRule::none, IndexOutlierRule::twoSdOnce,
                                          IndexOutlierRule::twoSdRepeated};
    std::vector<std::vector<IndexFinding>> byRule;
    for (const IndexOutlierRule rule : rules) {
        Plan other = plan;
        other.indexOutlierRule = rule;
        byRule.push_back(indexFindings(study, other, curves));
    }
    std::vector<IndexOutliers> found;
    for (std::size_t i = 0; i < byRule.front().size(); ++i) {
        for (std::size_t r = 0; r < byRule.size(); ++r) {
            IndexFinding& finding = byRule[r][i];
            IndexOutliers row;
            row.analyte = finding.analyte;
            row.measure = finding.measure;
            row.food = finding.food;
            row.reference = finding.reference;
            row.rule = rules[r];
            row.planned = rules[r] == plan.indexOutlierRule;
            row.indexClass = finding.indexClass.value_or("");
            row.index = std::move(finding.index);
            for (const SubjectIndex& subject : row.index.subjects) {
                if (subject.leftOut) {
                    row.leftOut.push_back(subject.subject);
                }
            }
            found.push_back(std::move(row));
        }
    }
    return found;
}

}  // namespace aftercurve
