#include "core/findings/tolerance_ordinal.h"

#include <algorithm>
#include <cmath>
#include <map>
#include <set>

#include "core/findings/adjusted_p.h"

namespace aftercurve {

namespace {

/// Common practice, no source: beyond, a score is nearly continuous and a threshold rests on few subjects.
constexpr std::size_t mostValues = 10;

/// All arms, the comparator's first.
std::vector<std::size_t> groupsOf(const ToleranceFindings& findings) {
    std::vector<std::size_t> arms(findings.runs.arms.size());
    for (std::size_t arm = 0; arm < arms.size(); ++arm) {
        arms[arm] = arm;
    }
    std::stable_partition(arms.begin(), arms.end(), [&](std::size_t arm) {
        return findings.runs.arms[arm].food == findings.comparator;
    });
    return arms;
}

void adjust(const Plan& plan, ToleranceOrdinalModel& one) {
    std::vector<std::optional<double>> family;
    for (std::size_t group = 1; group < one.arms.size(); ++group) {
        const OrdinalEffect* effect = effectOf(one, group);
        family.push_back(effect == nullptr ? std::nullopt : effect->p);
    }
    one.pAdjusted = adjustedP(plan.multiplicity, family);
}

ToleranceOrdinalModel modelOf(const Plan& plan, const ToleranceFindings& findings, std::size_t quantity,
                              const std::vector<std::size_t>& arms) {
    ToleranceOrdinalModel one;
    one.quantity = quantity;
    one.arms = arms;
    std::map<std::string, std::size_t> subjects;
    std::set<double> values;
    for (const DiaryScore& score : findings.scores) {
        if (score.quantity == quantity && score.worst) {
            subjects.emplace(score.subject, subjects.size());
            values.insert(*score.worst);
        }
    }
    one.values.assign(values.begin(), values.end());
    std::vector<OrdinalRow> rows;
    for (const DiaryScore& score : findings.scores) {
        if (score.quantity != quantity) {
            continue;
        }
        if (!score.worst) {
            ++one.withoutScore;
            continue;
        }
        const auto group = std::find(arms.begin(), arms.end(), score.arm) - arms.begin();
        const auto category = std::lower_bound(one.values.begin(), one.values.end(), *score.worst);
        rows.push_back({subjects.at(score.subject), static_cast<std::size_t>(group),
                        static_cast<std::size_t>(category - one.values.begin())});
    }
    if (values.size() > mostValues) {
        one.model.n = rows.size();
        one.model.subjects = subjects.size();
        one.model.absentBecause = std::to_string(values.size()) + " different scores: more than the " +
                                  std::to_string(mostValues) + " that this model is used for";
        return one;
    }
    OrdinalOptions options;
    options.alpha = plan.alpha;
    one.model = ordinalMixed(rows, options);
    return one;
}

}  // namespace

std::vector<ToleranceOrdinalModel> toleranceOrdinalModels(const Plan& plan,
                                                          const ToleranceFindings& findings) {
    std::vector<ToleranceOrdinalModel> models;
    const std::vector<std::size_t> arms = groupsOf(findings);
    if (arms.size() < 2) {
        return models;
    }
    for (std::size_t q = 0; q < findings.quantities.size(); ++q) {
        const DiaryQuantityKind kind = findings.quantities[q].kind;
        if (kind == DiaryQuantityKind::item || kind == DiaryQuantityKind::composite) {
            models.push_back(modelOf(plan, findings, q, arms));
            adjust(plan, models.back());
        }
    }
    return models;
}

const OrdinalEffect* effectOf(const ToleranceOrdinalModel& one, std::size_t group) {
    return group >= 1 && group <= one.model.effects.size() ? &one.model.effects[group - 1] : nullptr;
}

std::string effectAbsentBecause(const ToleranceOrdinalModel& one, std::size_t group) {
    if (!one.model.usable()) {
        return one.model.absentBecause;
    }
    const OrdinalEffect* effect = effectOf(one, group);
    return effect == nullptr ? std::string{"no score"} : effect->absentBecause;
}

std::optional<double> oddsOf(const std::optional<double>& logOdds) {
    const double odds = logOdds ? std::exp(*logOdds) : 0.0;
    return logOdds && std::isfinite(odds) ? std::optional{odds} : std::nullopt;
}

}  // namespace aftercurve
