#include "core/compare/influence.h"

#include <algorithm>
#include <cassert>
#include <cmath>

#include "core/compare/descriptive.h"
#include "core/compare/distributions.h"
#include "core/compare/paired_t.h"
#include "core/compare/scaled.h"

namespace aftercurve {

namespace {

constexpr std::size_t mostSubjects = 5000;  // the work grows with n²

int signOf(double x, double resolution) {
    if (std::abs(x) <= resolution) {
        return 0;
    }
    return x > 0.0 ? 1 : -1;
}

int sideOf(double low, double high) {
    if (low > 0.0) {
        return 1;
    }
    return high < 0.0 ? -1 : 0;
}

void compare(LeftOutSubject& subject, const PairedT& all, double alpha, double resolution) {
    if (all.p && subject.p) {
        subject.crossesAlpha = (*all.p < alpha) != (*subject.p < alpha);
    }
    if (all.meanDifference && subject.meanDifference) {
        subject.turnsSign =
            signOf(*all.meanDifference, resolution) != signOf(*subject.meanDifference, resolution);
        const double change = *subject.meanDifference - *all.meanDifference;
        if (std::isfinite(change)) {
            subject.change = change;
        }
    }
    if (all.ciLow && all.ciHigh && subject.ciLow && subject.ciHigh) {
        subject.movesInterval = sideOf(*all.ciLow, *all.ciHigh) != sideOf(*subject.ciLow, *subject.ciHigh);
    }
}

/// (d_i − d̄)/√(1 − 1/n) = (d_i − mean of the others)·√(1 − 1/n): the distance from the others loses no
/// digits.
void addResidual(LeftOutSubject& subject, double own, const std::vector<double>& others, double alpha) {
    const auto rest = static_cast<double>(others.size());
    const double n = rest + 1.0;
    const auto centre = mean(others);
    const auto sd = sampleSd(others);
    if (!centre || !sd || !(*sd > 0.0)) {
        return;
    }
    const double t = (own - *centre) * std::sqrt(rest / n) / *sd;
    subject.residualP = studentTTwoSidedP(t, n - 2.0);
    if (!subject.residualP) {
        return;
    }
    subject.studentised = t;
    subject.residualPAdjusted = std::min(1.0, n * *subject.residualP);
    subject.flagged = *subject.residualPAdjusted < alpha;
}

}  // namespace

Influence influence(const Differences& differences, double alpha) {
    assert(alpha > 0.0 && alpha < 1.0);
    Influence result;
    result.n = differences.value.size();
    const auto scaled = scaledNearOne(differences.value);
    if (result.n < 3) {
        result.absentBecause =
            result.n == 0 ? "there is no pair" : "fewer than three pairs: without one no test is left";
    } else if (!scaled) {
        result.absentBecause = "a difference is not a finite number";
    } else if (allEqual(differences)) {
        result.absentBecause = "all differences are equal";
    } else if (result.n > mostSubjects) {
        result.absentBecause = "more than 5000 pairs are not left out one by one";
    }
    if (!result.absentBecause.empty()) {
        return result;
    }
    const PairedT all = pairedT(differences, alpha);
    Differences others{{differences.value.begin() + 1, differences.value.end()}, differences.resolution};
    std::vector<double> scaledOthers(scaled->value.begin() + 1, scaled->value.end());
    for (std::size_t i = 0; i < result.n; ++i) {
        LeftOutSubject subject;
        subject.index = i;
        const PairedT without = pairedT(others, alpha);
        subject.meanDifference = without.meanDifference;
        subject.ciLow = without.ciLow;
        subject.ciHigh = without.ciHigh;
        subject.p = without.p;
        subject.absentBecause = without.absentBecause;
        compare(subject, all, alpha, differences.resolution);
        if (!allEqual(others)) {
            addResidual(subject, scaled->value[i], scaledOthers, alpha);
        } else {
            subject.absentBecause =
                "all other differences are equal: no test without this one, and no residual";
        }
        if (i < others.value.size()) {
            others.value[i] = differences.value[i];
            scaledOthers[i] = scaled->value[i];
        }
        result.anyCrossesAlpha = result.anyCrossesAlpha || subject.crossesAlpha;
        result.anyTurnsSign = result.anyTurnsSign || subject.turnsSign;
        result.anyMovesInterval = result.anyMovesInterval || subject.movesInterval;
        if (subject.flagged) {
            result.flagged.push_back(i);
        }
        if (subject.change &&
            (!result.largestChange ||
             std::abs(*subject.change) > std::abs(*result.subjects[*result.largestChange].change))) {
            result.largestChange = i;
        }
        result.subjects.push_back(std::move(subject));
    }
    return result;
}

}  // namespace aftercurve
