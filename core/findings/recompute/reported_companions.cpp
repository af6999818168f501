#include <string>

#include "core/findings/recompute/parts.h"

namespace aftercurve {

namespace {

const char* yesNo(bool yes) {
    return yes ? "yes" : "no";
}

template <class Finding>
ReportedPlace placeOf(const StudyNumbers& numbers, const Finding& finding, const char* table) {
    ReportedPlace place;
    place.table = table;
    place.row =
        finding.analyte + ", " + finding.measure + ", " + finding.food + " against " + finding.comparator;
    place.analyte = numbers.analyte.at(finding.analyte);
    place.measure = finding.measure;
    place.food = numbers.food.at(finding.food);
    place.comparator = numbers.food.at(finding.comparator);
    return place;
}

/// The same place with what tells it apart from others of its table.
ReportedPlace withItem(ReportedPlace place, const std::string& item) {
    place.item = item;
    place.row += ", " + item;
    return place;
}

void addSign(ReportedRows& rows, const ReportedPlace& place, const SignTest& test) {
    addCount(rows, place, "positive", test.positive);
    addCount(rows, place, "negative", test.negative);
    addCount(rows, place, "zeros", test.zeros);
    addNumber(rows, place, "p", test.p, test.absentBecause);
    addNumber(rows, place, "estimate", test.median, test.intervalAbsentBecause);
    addNumber(rows, place, "ci_low", test.ciLow, test.intervalAbsentBecause);
    addNumber(rows, place, "ci_high", test.ciHigh, test.intervalAbsentBecause);
    addNumber(rows, place, "confidence", test.achievedConfidence, test.intervalAbsentBecause);
}

void addBootstrap(ReportedRows& rows, const ReportedPlace& place, const Bootstrap& b) {
    const std::string& bca = b.absentBecause.empty() ? b.bcaAbsentBecause : b.absentBecause;
    addCount(rows, place, "n", b.n);
    addNumber(rows, place, "estimate", b.estimate, b.absentBecause);
    addNumber(rows, place, "se", b.standardError, b.absentBecause);
    addNumber(rows, place, "bias", b.bias, b.absentBecause);
    addNumber(rows, place, "percentile_low", b.percentileLow, b.absentBecause);
    addNumber(rows, place, "percentile_high", b.percentileHigh, b.absentBecause);
    addNumber(rows, place, "bca_low", b.bcaLow, bca);
    addNumber(rows, place, "bca_high", b.bcaHigh, bca);
    addCount(rows, place, "replicates", b.replicates);
}

void addTrimmed(ReportedRows& rows, const ReportedPlace& place, const TrimmedMean& m) {
    const auto add = [&](std::string_view quantity, const std::optional<double>& value) {
        addNumber(rows, place, quantity, value, m.absentBecause);
    };
    addCount(rows, place, "n", m.n);
    addCount(rows, place, "cut", m.cutEachEnd);
    add("estimate", m.estimate);
    add("se", m.se);
    add("ci_low", m.ciLow);
    add("ci_high", m.ciHigh);
    add("t", m.t);
    add("df", m.df);
    add("p", m.p);
}

void addRatios(ReportedRows& rows, const ReportedPlace& place, const CompanionFinding& c) {
    const ReportedPlace logs = withItem(place, "log_ratio");
    const auto addLog = [&](std::string_view quantity, const std::optional<double>& value) {
        addNumber(rows, logs, quantity, value, c.logRatio.absentBecause);
    };
    addCount(rows, logs, "n", c.logRatio.n);
    addLog("estimate", c.logRatio.ratio);
    addLog("ci_low", c.logRatio.ciLow);
    addLog("ci_high", c.logRatio.ciHigh);
    addLog("sd_log", c.logRatio.sdLog);
    addLog("t", c.logRatio.t);
    addLog("df", c.logRatio.df);
    addLog("p", c.logRatio.p);
    const ReportedPlace means = withItem(place, "ratio_of_means");
    const auto add = [&](std::string_view quantity, const std::optional<double>& value) {
        addNumber(rows, means, quantity, value,
                  c.ratio.absentBecause.empty() ? "the set has no such end" : c.ratio.absentBecause);
    };
    constexpr const char* sets[] = {"none", "bounded", "halfLine", "outside", "wholeLine"};
    addCount(rows, means, "n", c.ratio.n);
    add("mean_food", c.ratio.meanFood);
    add("mean_comparator", c.ratio.meanComparator);
    add("estimate", c.ratio.ratio);
    add("delta_se", c.ratio.deltaSe);
    addWord(rows, means, "set", sets[static_cast<std::size_t>(c.ratio.set)]);
    add("low", c.ratio.low);
    add("high", c.ratio.high);
    add("g", c.ratio.g);
    add("t", c.ratio.t);
    add("df", c.ratio.df);
    add("p", c.ratio.p);
}

void addInfluence(ReportedRows& rows, const StudyNumbers& numbers, const CompanionFinding& c,
                  const ComparisonFinding& comparison) {
    const ReportedPlace base = placeOf(numbers, c, "influence");
    std::vector<double> normal(c.subjects.size());
    for (const QuantilePoint& point : c.quantiles.points) {
        normal[point.index] = point.normal;
    }
    for (const LeftOutSubject& left : c.influence.subjects) {
        ReportedPlace place = base;
        place.subject = numbers.subject.at(c.subjects[left.index]);
        place.row += ", " + c.subjects[left.index];
        const auto add = [&](std::string_view quantity, const std::optional<double>& value) {
            addNumber(rows, place, quantity, value, left.absentBecause);
        };
        add("difference", comparison.pairs[left.index].difference);
        add("mean_difference", left.meanDifference);
        add("ci_low", left.ciLow);
        add("ci_high", left.ciHigh);
        add("p", left.p);
        add("change", left.change);
        add("studentised", left.studentised);
        add("residual_p", left.residualP);
        add("residual_p_adjusted", left.residualPAdjusted);
        add("normal_quantile", normal[left.index]);
        addWord(rows, place, "crosses_alpha", yesNo(left.crossesAlpha));
        addWord(rows, place, "turns_sign", yesNo(left.turnsSign));
        addWord(rows, place, "moves_interval", yesNo(left.movesInterval));
        addWord(rows, place, "flagged", yesNo(left.flagged));
    }
}

void addRankPairs(ReportedRows& rows, const StudyNumbers& numbers, const ReportedPlace& base,
                  const RankFinding& finding, const std::vector<FriedmanPair>& pairs,
                  const std::string& family) {
    for (const FriedmanPair& pair : pairs) {
        ReportedPlace place = withItem(base, family);
        place.food = numbers.food.at(finding.foods[pair.foodA]);
        place.comparator = numbers.food.at(finding.foods[pair.foodB]);
        place.row += ", " + finding.foods[pair.foodA] + " against " + finding.foods[pair.foodB];
        const auto add = [&](std::string_view quantity, const std::optional<double>& value) {
            addNumber(rows, place, quantity, value, finding.friedman.pairsAbsentBecause);
        };
        add("mean_rank_difference", pair.meanRankDifference);
        add("ci_low", pair.ciLow);
        add("ci_high", pair.ciHigh);
        add("t", pair.t);
        add("p", pair.p);
        add("p_adjusted", pair.pAdjusted);
    }
}

void addRank(ReportedRows& rows, const StudyNumbers& numbers, const RankFinding& finding) {
    const Friedman& f = finding.friedman;
    ReportedPlace base;
    base.table = "ranks";
    base.analyte = numbers.analyte.at(finding.analyte);
    base.measure = finding.measure;
    base.row = finding.analyte + ", " + finding.measure;
    const ReportedPlace place = withItem(base, "tests");
    const auto reason = [&f](const std::string& own) {
        return f.absentBecause.empty() ? own : f.absentBecause;
    };
    addCount(rows, place, "subjects", f.subjects);
    addNumber(rows, place, "chi_square", f.chiSquare, f.absentBecause);
    addNumber(rows, place, "df", f.df, f.absentBecause);
    addNumber(rows, place, "chi_square_p", f.chiSquareP, f.absentBecause);
    addNumber(rows, place, "f", f.f, reason(f.fAbsentBecause));
    addNumber(rows, place, "denominator_df", f.denominatorDf, reason(f.fAbsentBecause));
    addNumber(rows, place, "f_p", f.fP, reason(f.fAbsentBecause));
    addNumber(rows, place, "exact_p", f.exactP, reason(f.exactAbsentBecause));
    addNumber(rows, place, "kendall_w", f.kendallW, f.absentBecause);
    addRankPairs(rows, numbers, base, finding, f.allPairs, "all_pairs");
    addRankPairs(rows, numbers, base, finding, f.againstComparator, "against_comparator");
}

}  // namespace

void addCompanions(ReportedRows& rows, const StudyNumbers& numbers, const Findings& findings) {
    for (std::size_t i = 0; i < findings.companions.comparisons.size(); ++i) {
        const CompanionFinding& c = findings.companions.comparisons[i];
        const ReportedPlace place = placeOf(numbers, c, "companions");
        addSign(rows, withItem(place, "sign"), c.sign);
        const ReportedPlace permutation = withItem(place, "permutation");
        addNumber(rows, permutation, "estimate", c.permutation.meanDifference, c.permutation.absentBecause);
        addNumber(rows, permutation, "p", c.permutation.p, c.permutation.absentBecause);
        addCount(rows, permutation, "patterns", c.permutation.patterns);
        addNumber(rows, permutation, "monte_carlo_error", c.permutation.monteCarloError,
                  c.permutation.p ? "the test is exact" : std::string_view{c.permutation.absentBecause});
        addBootstrap(rows, withItem(place, "bootstrap"), c.bootstrap);
        addTrimmed(rows, withItem(place, "trimmed_mean"), c.trimmed);
        addRatios(rows, place, c);
        addBootstrap(rows, withItem(place, "ratio_bootstrap"), c.ratioBootstrap);
        addInfluence(rows, numbers, c, findings.comparisons[i]);
    }
    for (const RankFinding& finding : findings.companions.ranks) {
        addRank(rows, numbers, finding);
    }
}

void addMargins(ReportedRows& rows, const StudyNumbers& numbers, const Findings& findings) {
    constexpr const char* scales[] = {"difference", "geometric_ratio", "ratio"};
    for (const MarginFinding& m : findings.companions.margins) {
        const Equivalence& e = m.result;
        const ReportedPlace place =
            withItem(placeOf(numbers, m, "margins"), scales[static_cast<std::size_t>(m.scale)]);
        const auto add = [&](std::string_view quantity, const std::optional<double>& value) {
            addNumber(rows, place, quantity, value,
                      e.absentBecause.empty() ? e.intervalAbsentBecause : e.absentBecause);
        };
        addCount(rows, place, "n", e.n);
        add("margin_low", m.low);
        add("margin_high", m.high);
        add("estimate", e.estimate);
        add("ci_low", e.ciLow);
        add("ci_high", e.ciHigh);
        add("df", e.df);
        add("t_low", e.tLow);
        add("t_high", e.tHigh);
        add("p_low", e.pLow);
        add("p_high", e.pHigh);
        add("p", e.p);
        addWord(rows, place, "verdict", verdictWords(e.verdict));
    }
    for (const NonInferiorityFinding& m : findings.companions.nonInferiority) {
        const OneSidedMargin& e = m.result;
        const ReportedPlace place = withItem(placeOf(numbers, m, "margins"), "non_inferiority");
        const auto add = [&](std::string_view quantity, const std::optional<double>& value) {
            addNumber(rows, place, quantity, value,
                      e.absentBecause.empty() ? e.intervalAbsentBecause : e.absentBecause);
        };
        addCount(rows, place, "n", e.n);
        add("limit", e.limit);
        add("estimate", e.estimate);
        add("ci_low", e.ciLow);
        add("ci_high", e.ciHigh);
        add("df", e.df);
        add("t", e.t);
        add("p", e.p);
        addWord(rows, place, "verdict", verdictWords(e.verdict, MarginClaim::nonInferiority));
    }
}

}  // namespace aftercurve
