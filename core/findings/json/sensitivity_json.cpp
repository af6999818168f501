#include "core/findings/json/json_parts.h"

namespace aftercurve {

namespace {

Json wayJson(const SensitivityRow& way) {
    return {{"measure", way.measure},
            {"baseline", wordFor(way.baseline)},
            {"window_end_min", way.windowEndMin},
            {"exclusions_applied", way.exclusionsApplied},
            {"changes", way.changes},
            {"unit", way.unit},
            {"n", way.n},
            {"mean_difference", orNull(way.meanDifference)},
            {"ci_low", orNull(way.ciLow)},
            {"ci_high", orNull(way.ciHigh)},
            {"p", orNull(way.p)},
            {"hodges_lehmann", orNull(way.hodgesLehmann)},
            {"wilcoxon_p", orNull(way.signedRankP)},
            {"standardised", orNull(way.standardised)},
            {"standardised_low", orNull(way.standardisedLow)},
            {"standardised_high", orNull(way.standardisedHigh)},
            {"absent_because", textOrNull(way.absentBecause)}};
}

}  // namespace

Json sensitivityJson(const SensitivityFinding& finding) {
    const SensitivityCount& count = finding.count;
    return {{"analyte", finding.analyte},
            {"food", finding.food},
            {"comparator", finding.comparator},
            {"ways", arrayOf(finding.rows, wayJson)},
            {"tested", count.tested},
            {"same_direction", count.sameDirection},
            {"same_side_of_alpha", count.sameSideOfAlpha},
            {"rank_tested", count.rankTested},
            {"rank_same_side_of_alpha", count.rankSameSideOfAlpha}};
}

}  // namespace aftercurve
