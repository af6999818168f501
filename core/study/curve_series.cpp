#include "core/study/curve_series.h"

#include <algorithm>
#include <numeric>
#include <span>
#include <tuple>

#include "core/study/laboratory_exclusion.h"
#include "core/study/sample_values.h"

namespace aftercurve {

namespace {

using DrawIndex = std::uint32_t;

auto visitKey(const Draw& draw) {
    return std::tuple{draw.subject, draw.food, draw.visit};
}

/// Draws ordered by subject, food, visit, time; rows of one time stay in file order.
std::vector<DrawIndex> drawOrder(const Study& study, const Plan& plan) {
    const std::vector<Draw>& draws = study.draws;
    std::vector<DrawIndex> order(draws.size());
    std::iota(order.begin(), order.end(), DrawIndex{0});
    const auto before = [&](DrawIndex a, DrawIndex b) {
        const auto x = visitKey(draws[a]);
        const auto y = visitKey(draws[b]);
        return x != y ? x < y : timeOfDraw(study, plan, a) < timeOfDraw(study, plan, b);
    };
    if (!std::is_sorted(order.begin(), order.end(), before)) {
        std::stable_sort(order.begin(), order.end(), before);
    }
    return order;
}

/// "samples.csv:14".
std::string rowName(const Study& study, const Draw& draw) {
    const std::string file = draw.file < study.sampleFiles.size() ? study.sampleFiles[draw.file] : "row";
    return file + ":" + std::to_string(draw.row);
}

void applyExclusions(const Study& study, CurveSeries& curve) {
    for (const Exclusion& exclusion : study.exclusions) {
        if (excludes(exclusion, study, curve)) {
            curve.excluded = true;
            curve.excludedBecause = exclusion.reason.empty() ? "no reason given" : exclusion.reason;
            return;
        }
    }
}

bool namesCurve(const Exclusion& exclusion, const Study& study, const CurveSeries& curve) {
    return !isOfLaboratory(exclusion) &&
           (exclusion.subject.empty() || exclusion.subject == study.subjects[curve.subject].id) &&
           (exclusion.food.empty() || exclusion.food == study.foods[curve.food].id) &&
           (!exclusion.visit || *exclusion.visit == curve.visit) &&
           (exclusion.analyte.empty() || exclusion.analyte == study.analytes[curve.analyte].id);
}

}  // namespace

bool excludes(const Exclusion& exclusion, const Study& study, const CurveSeries& curve) {
    return !exclusion.timeMin && namesCurve(exclusion, study, curve);
}

bool excludesSample(const Exclusion& exclusion, const Study& study, const CurveSeries& curve,
                    std::size_t draw) {
    return exclusion.timeMin &&
           (study.draws[draw].timeMin == *exclusion.timeMin ||
            nominalMinOf(study, draw) == exclusion.timeMin) &&
           namesCurve(exclusion, study, curve);
}

std::vector<CurveSeries> curveSeriesOf(const Study& study, const Plan& plan) {
    const std::vector<DrawIndex> order = drawOrder(study, plan);

    std::vector<std::size_t> visitStart;
    for (std::size_t i = 0; i < order.size(); ++i) {
        if (i == 0 || visitKey(study.draws[order[i - 1]]) != visitKey(study.draws[order[i]])) {
            visitStart.push_back(i);
        }
    }
    visitStart.push_back(order.size());

    std::vector<CellFlaw> flaws = study.flaws;
    std::sort(flaws.begin(), flaws.end(), [](const CellFlaw& a, const CellFlaw& b) {
        return std::tie(a.analyte, a.draw) < std::tie(b.analyte, b.draw);
    });
    const auto flawAt = [&flaws](std::uint32_t analyte, DrawIndex draw) -> const CellFlaw* {
        const auto found = std::lower_bound(flaws.begin(), flaws.end(), std::tuple{analyte, draw},
                                            [](const CellFlaw& f, const auto& key) {
                                                return std::tuple{f.analyte, f.draw} < key;
                                            });
        return found != flaws.end() && found->analyte == analyte && found->draw == draw ? &*found : nullptr;
    };

    std::vector<CurveSeries> curves;
    curves.reserve((visitStart.size() - 1) * study.analytes.size());
    for (std::uint32_t analyte = 0; analyte < study.analytes.size(); ++analyte) {
        for (std::size_t v = 0; v + 1 < visitStart.size(); ++v) {
            const std::span<const DrawIndex> draws{order.data() + visitStart[v],
                                                   visitStart[v + 1] - visitStart[v]};
            const Draw& first = study.draws[draws.front()];
            CurveSeries curve;
            curve.subject = first.subject;
            curve.food = first.food;
            curve.visit = first.visit;
            curve.period = first.period;
            curve.analyte = analyte;
            curve.file = first.file;
            curve.row = first.row;
            for (const DrawIndex draw : draws) {
                const std::int32_t period = study.draws[draw].period;
                if (period != first.period) {
                    curve.periodConflict = "rows of this visit name periods " + std::to_string(first.period) +
                                           " and " + std::to_string(period);
                    break;
                }
            }
            collectSamples(study, plan, draws, curve);
            if (!flaws.empty()) {
                for (const DrawIndex draw : draws) {
                    if (const CellFlaw* flaw = flawAt(analyte, draw)) {
                        curve.flaw = flaw->reason + " (" + rowName(study, study.draws[draw]) + ")";
                        break;
                    }
                }
            }
            applyExclusions(study, curve);
            curves.push_back(std::move(curve));
        }
    }
    return curves;
}

}  // namespace aftercurve
