#include "core/findings/mean_curves.h"

#include <algorithm>
#include <cmath>
#include <functional>
#include <map>
#include <string>

#include "core/base/number_text.h"
#include "core/compare/descriptive.h"
#include "core/compare/distributions.h"

namespace aftercurve {

namespace {

/// One subject's mean over visits at one time.
struct AtTime {
    double time = 0.0;
    double value = 0.0;
    double increment = 0.0;
};

using SubjectCurves = std::map<std::string, std::vector<const CurveFinding*>>;

std::vector<AtTime> meanOverVisits(const std::vector<const CurveFinding*>& visits) {
    std::vector<AtTime> all;
    for (const CurveFinding* curve : visits) {
        for (std::size_t i = 0; i < curve->timeMin.size(); ++i) {
            all.push_back({curve->scheduledMin[i], curve->value[i], curve->value[i] - *curve->baseline});
        }
    }
    std::stable_sort(all.begin(), all.end(),
                     [](const AtTime& a, const AtTime& b) { return a.time < b.time; });
    std::vector<AtTime> means;
    for (std::size_t i = 0; i < all.size();) {
        AtTime sum{all[i].time, 0.0, 0.0};
        std::size_t n = 0;
        for (; i < all.size() && all[i].time == sum.time; ++i, ++n) {
            sum.value += all[i].value;
            sum.increment += all[i].increment;
        }
        sum.value /= static_cast<double>(n);
        sum.increment /= static_cast<double>(n);
        means.push_back(sum);
    }
    return means;
}

struct Interval {
    std::optional<double> low;
    std::optional<double> high;
};

/// The t interval of a mean; absent for one value and for values that are all equal.
Interval intervalOf(std::span<const double> values, double alpha) {
    const auto [least, most] = std::minmax_element(values.begin(), values.end());
    const std::optional<double> sd = sampleSd(values);
    if (!sd || *least == *most) {
        return {};
    }
    const double n = static_cast<double>(values.size());
    const auto quantile = studentTUpperQuantile(alpha / 2.0, n - 1.0);
    if (!quantile) {
        return {};
    }
    const double centre = *aftercurve::mean(values);
    const double half = *quantile * *sd / std::sqrt(n);
    return {centre - half, centre + half};
}

std::optional<double> semOf(std::span<const double> values) {
    const std::optional<double> sd = sampleSd(values);
    return sd ? std::optional{*sd / std::sqrt(static_cast<double>(values.size()))} : std::nullopt;
}

/// The window of a curve with its samples at their nominal times; that of the curve itself where none are
/// given or where they do not ascend.
WindowPoints scheduledWindow(const CurveFinding& curve, const Plan& plan) {
    const auto& times = curve.scheduledMin;
    const bool ascending =
        std::adjacent_find(times.begin(), times.end(), std::greater_equal<>{}) == times.end();
    if (times == curve.timeMin || !ascending) {
        return curve.window;
    }
    WindowPoints window = windowPoints(times, curve.value, plan);
    return window.usable() ? window : curve.window;
}

/// Window of the mean curve: means of the curves' window points at the times that all of them have (0 and the
/// end always).
WindowPoints meanWindow(const SubjectCurves& subjects, const Plan& plan) {
    std::map<const CurveFinding*, WindowPoints> windows;
    for (const auto& [subject, visits] : subjects) {
        for (const CurveFinding* curve : visits) {
            windows.emplace(curve, scheduledWindow(*curve, plan));
        }
    }
    std::vector<double> shared;
    bool first = true;
    for (const auto& [subject, visits] : subjects) {
        for (const CurveFinding* curve : visits) {
            if (first) {
                shared = windows.at(curve).timeMin;
                first = false;
                continue;
            }
            std::vector<double> kept;
            std::set_intersection(shared.begin(), shared.end(), windows.at(curve).timeMin.begin(),
                                  windows.at(curve).timeMin.end(), std::back_inserter(kept));
            shared = std::move(kept);
        }
    }
    WindowPoints window;
    window.timeMin = shared;
    window.value.assign(shared.size(), 0.0);
    for (const auto& [subject, visits] : subjects) {
        const double weight =
            1.0 / (static_cast<double>(visits.size()) * static_cast<double>(subjects.size()));
        for (const CurveFinding* curve : visits) {
            std::size_t i = 0;
            for (std::size_t k = 0; k < shared.size(); ++k) {
                while (windows.at(curve).timeMin[i] < shared[k]) {
                    ++i;
                }
                window.value[k] += weight * windows.at(curve).value[i];
            }
        }
    }
    window.baseline = window.value.front();
    return window;
}

MeanCurve meanCurve(const Food& food, const Analyte& analyte, const Plan& plan,
                    const SubjectCurves& subjects) {
    MeanCurve mean;
    mean.food = food.id;
    mean.analyte = analyte.id;
    std::vector<AtTime> all;
    for (const auto& [subject, visits] : subjects) {
        const std::vector<AtTime> own = meanOverVisits(visits);
        all.insert(all.end(), own.begin(), own.end());
    }
    std::stable_sort(all.begin(), all.end(),
                     [](const AtTime& a, const AtTime& b) { return a.time < b.time; });
    std::string fewer;
    for (std::size_t i = 0; i < all.size();) {
        const double time = all[i].time;
        std::vector<double> values;
        std::vector<double> increments;
        for (; i < all.size() && all[i].time == time; ++i) {
            values.push_back(all[i].value);
            increments.push_back(all[i].increment);
        }
        mean.timeMin.push_back(time);
        mean.n.push_back(values.size());
        mean.mean.push_back(*aftercurve::mean(values));
        mean.sem.push_back(semOf(values));
        mean.sd.push_back(sampleSd(values));
        const Interval interval = intervalOf(values, plan.alpha);
        mean.ciLow.push_back(interval.low);
        mean.ciHigh.push_back(interval.high);
        mean.increment.push_back(*aftercurve::mean(increments));
        mean.incrementSem.push_back(semOf(increments));
        if (values.size() < subjects.size()) {
            fewer +=
                (fewer.empty() ? "" : ", ") + plainNumber(time) + " min: " + std::to_string(values.size());
        }
    }
    if (!fewer.empty()) {
        mean.notes.push_back("fewer than all " + std::to_string(subjects.size()) + " subjects at " + fewer);
    }
    mean.window = meanWindow(subjects, plan);
    return mean;
}

}  // namespace

std::vector<MeanCurve> meanCurves(const Study& study, const Plan& plan,
                                  std::span<const CurveFinding> curves) {
    std::vector<MeanCurve> means;
    for (const Analyte& analyte : study.analytes) {
        for (const Food& food : study.foods) {
            SubjectCurves subjects;
            for (const CurveFinding& curve : curves) {
                if (curve.analyte == analyte.id && curve.food == food.id && curve.counts()) {
                    subjects[curve.subject].push_back(&curve);
                }
            }
            if (!subjects.empty()) {
                means.push_back(meanCurve(food, analyte, plan, subjects));
            }
        }
    }
    return means;
}

}  // namespace aftercurve
