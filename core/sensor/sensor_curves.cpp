#include "core/sensor/sensor_curves.h"

#include <algorithm>
#include <cmath>

#include "core/base/number_text.h"
#include "core/base/progress_part.h"
#include "core/files/excerpt.h"
#include "core/files/id_index.h"
#include "core/files/problem_list.h"
#include "core/sensor/sensor_clock.h"

namespace aftercurve {

namespace {

constexpr double longestCutMin = 1440.0;

double minutesBetween(std::int64_t from, std::int64_t to) {
    return static_cast<double>(to - from) / 60.0;
}

/// The stretch of a curve on the local clock, in seconds.
struct CutStretch {
    double from = 0.0;
    double to = 0.0;
};

CutStretch stretchOf(const SensorCurve& curve, const SensorCutOptions& options) {
    const auto mark = static_cast<double>(curve.mark.second);
    return {mark - options.beforeMin * 60.0, mark + curve.endMin * 60.0};
}

/// Coverage and the longest gap of [from, to], `first` the first reading not before `from`.
void measureCoverage(const std::vector<SensorReading>& readings, std::size_t first, CutStretch cut,
                     double maxGapS, SensorCurve& curve) {
    double covered = 0.0;
    double longest = 0.0;
    double at = cut.from;  // up to here all is told
    for (std::size_t i = first; at < cut.to; ++i) {
        const bool there = i < readings.size();
        const double next = there ? std::min(static_cast<double>(readings[i].second), cut.to) : cut.to;
        const bool spanned =
            there && i > 0 && static_cast<double>(readings[i].second - readings[i - 1].second) <= maxGapS;
        if (spanned) {
            covered += next - at;
        } else if (next - at > maxGapS) {
            longest = std::max(longest, next - at);
        }
        at = next;
    }
    curve.coveragePercent = 100.0 * covered / (cut.to - cut.from);
    curve.longestGapMin = longest / 60.0;
}

class CurveCutter {
  public:
    CurveCutter(const SensorReadings& readings, const MealMarks& marks, const SensorCutOptions& options)
        : readings_(readings), marks_(marks), options_(options), problems_(options.problemsListed) {
        for (std::size_t i = 0; i < readings.traces.size(); ++i) {
            traces_.add(readings.traces[i].subject, static_cast<std::uint32_t>(i));
        }
        curves_.unit = readings.unit;
    }

    /// False where it was stopped.
    bool run(const Progress& progress) {
        return smooth(partOf(progress, 0.0, 0.8)) && cutAll(partOf(progress, 0.8, 1.0));
    }

    SensorCurves take() {
        curves_.problems = problems_.take();
        return std::move(curves_);
    }

  private:
    bool smooth(const Progress& progress) {
        const auto all = static_cast<double>(std::max<std::size_t>(readings_.traces.size(), 1));
        double done = 0.0;
        bool goesOn = true;
        for (const SensorTrace& trace : readings_.traces) {
            const auto ask = [&] {
                goesOn = goesOn && (!progress || progress(done / all, "smoothing"));
                return goesOn;
            };
            curves_.smoothed.push_back(smoothedReadings(trace.readings, options_.smoothing, ask));
            if (!goesOn) {
                return false;
            }
            done += 1.0;
        }
        return true;
    }

    bool cutAll(const Progress& progress) {
        std::vector<bool> met(readings_.traces.size(), false);
        for (std::size_t i = 0; i < marks_.marks.size(); ++i) {
            if (i % 1024 == 0 && progress &&
                !progress(static_cast<double>(i) / static_cast<double>(marks_.marks.size()), "cutting")) {
                return false;
            }
            SensorCurve curve = cut(i);
            if (curve.trace) {
                met[*curve.trace] = true;
            }
            tell(curve);
            curves_.used += curve.isUsed() ? 1U : 0U;
            curves_.curves.push_back(std::move(curve));
        }
        for (std::size_t t = 0; t < met.size(); ++t) {
            if (!met[t]) {
                problems_.add(Weight::note, [&] {
                    Problem problem = problemAt(
                        readings_.file, 0, {}, "the readings of the subject are not used: no meal is marked");
                    problem.subject = readings_.traces[t].subject;
                    return problem;
                });
            }
        }
        return true;
    }

    SensorCurve cut(std::size_t i) const {
        SensorCurve curve;
        curve.mark = marks_.marks[i];
        curve.endMin = options_.afterMin;
        if (i + 1 < marks_.marks.size() && marks_.marks[i + 1].subject == curve.mark.subject) {
            const double next = minutesBetween(curve.mark.second, marks_.marks[i + 1].second);
            if (next < options_.afterMin) {
                curve.endMin = next;
                curve.shortened = true;
            }
        }
        if (i > 0 && marks_.marks[i - 1].subject == curve.mark.subject) {
            const double earlier = minutesBetween(marks_.marks[i - 1].second, curve.mark.second);
            if (earlier <= options_.afterMin) {
                curve.earlierMealMin = earlier;
            }
        }
        if (const auto trace = traces_.find(curve.mark.subject)) {
            curve.trace = *trace;
            fill(curve);
        }
        curve.leftOutBecause = reasonAgainst(curve);
        return curve;
    }

    void fill(SensorCurve& curve) const {
        const SensorTrace& trace = readings_.traces[*curve.trace];
        const std::vector<double>& smoothed = curves_.smoothed[*curve.trace];
        const CutStretch cut = stretchOf(curve, options_);
        const auto before = [](const auto& reading, double second) {
            return static_cast<double>(reading.second) < second;
        };
        const auto first = std::lower_bound(trace.readings.begin(), trace.readings.end(), cut.from, before);
        for (auto at = first; at != trace.readings.end() && static_cast<double>(at->second) <= cut.to; ++at) {
            const double time = minutesBetween(curve.mark.second, at->second);
            curve.points.push_back(
                {time, smoothed[static_cast<std::size_t>(at - trace.readings.begin())], at->value});
            curve.baselineReadings += time <= 0.0 ? 1U : 0U;
        }
        measureCoverage(trace.readings, static_cast<std::size_t>(first - trace.readings.begin()), cut,
                        options_.smoothing.maxGapMin * 60.0, curve);
        for (auto at = std::lower_bound(trace.outOfRange.begin(), trace.outOfRange.end(), cut.from, before);
             at != trace.outOfRange.end() && static_cast<double>(at->second) <= cut.to; ++at) {
            ++(at->high ? curve.aboveRange : curve.belowRange);
        }
    }

    /// Empty where the curve can be used.
    std::string reasonAgainst(const SensorCurve& curve) const {
        if (!curve.trace) {
            return "there are no readings of the subject";
        }
        if (curve.points.empty()) {
            return "there is no reading around the meal";
        }
        if (curve.baselineReadings == 0) {
            return "there is no reading at or before the start of the meal, so no baseline";
        }
        if (curve.points.back().timeMin <= 0.0) {
            return "there is no reading after the start of the meal";
        }
        const CutStretch cut = stretchOf(curve, options_);
        for (const SensorClockBack& back : readings_.traces[*curve.trace].clockBack) {
            if (static_cast<double>(back.from) <= cut.to && static_cast<double>(back.to) >= cut.from) {
                return "the clock was set back around the meal, so its local times stand twice";
            }
        }
        if (std::any_of(curve.points.begin(), curve.points.end(),
                        [](const SensorCurvePoint& point) { return !(point.value >= 0.0); })) {
            return "smoothing gives a value below 0";
        }
        if (curve.shortened && options_.leaveOutShortened) {
            return "the next meal follows " + plainNumber(curve.endMin) + " min later (left out by choice)";
        }
        if (curve.longestGapMin > 0.0 && options_.leaveOutGaps) {
            return "it has a gap of " + fixedNumber(curve.longestGapMin, 1) + " min (left out by choice)";
        }
        return {};
    }

    void add(Weight weight, const SensorCurve& curve, std::string what, std::string remedy = {}) {
        problems_.add(weight, [&] {
            Problem problem = problemAt(marks_.file, curve.mark.row, {}, std::move(what), std::move(remedy));
            problem.subject = curve.mark.subject;
            problem.food = curve.mark.food;
            problem.visit = curve.mark.visit;
            problem.analyte = "glucose";
            return problem;
        });
    }

    void tell(const SensorCurve& curve) {
        if (!curve.isUsed()) {
            const bool chosen = curve.leftOutBecause.ends_with("(left out by choice)");
            add(chosen ? Weight::warning : Weight::error, curve,
                "the meal of " + sensorClockText(curve.mark.second) + " is left out: " + curve.leftOutBecause,
                chosen ? "" : "check the clocks of the sensor and of the meals, and the subject codes");
            return;
        }
        if (curve.shortened) {
            add(Weight::note, curve,
                "the curve is cut at " + plainNumber(curve.endMin) + " min, where the next meal begins");
        }
        if (curve.longestGapMin > 0.0) {
            add(Weight::warning, curve,
                "the curve has a gap of " + fixedNumber(curve.longestGapMin, 1) +
                    " min without readings (coverage " + fixedNumber(curve.coveragePercent, 1) + " %)",
                "leave curves with gaps out, or judge whether its area can be used");
        }
        if (curve.earlierMealMin) {
            add(Weight::note, curve,
                "an earlier meal was marked " + plainNumber(*curve.earlierMealMin) +
                    " min before; the baseline is not fasting");
        }
        if (curve.belowRange + curve.aboveRange > 0) {
            add(Weight::warning, curve,
                std::to_string(curve.belowRange) + " times below and " + std::to_string(curve.aboveRange) +
                    " times above the sensor's range have no number",
                "the area does not hold them; judge whether it can be used");
        }
    }

    const SensorReadings& readings_;
    const MealMarks& marks_;
    const SensorCutOptions& options_;
    ProblemList problems_;
    IdIndex traces_;
    SensorCurves curves_;
};

}  // namespace

std::optional<Problem> validate(const SensorCutOptions& options) {
    if (auto fault = validate(options.smoothing)) {
        return fault;
    }
    if (!(options.beforeMin >= 0.0 && options.beforeMin <= longestCutMin)) {
        return problemAt({}, 0, {}, "a begin " + plainNumber(options.beforeMin) + " min before is not taken",
                         "choose 0 to 1440 min");
    }
    if (!(options.afterMin > 0.0 && options.afterMin <= longestCutMin)) {
        return problemAt({}, 0, {}, "an end " + plainNumber(options.afterMin) + " min after is not taken",
                         "choose a time above 0, at most 1440 min");
    }
    return std::nullopt;
}

Result<SensorCurves> sensorCurves(const SensorReadings& readings, const MealMarks& marks,
                                  const SensorCutOptions& options, const Progress& progress) {
    if (auto fault = validate(options)) {
        return std::move(*fault);
    }
    CurveCutter cutter{readings, marks, options};
    if (!cutter.run(progress)) {
        return problemAt({}, 0, {}, "stopped");
    }
    return cutter.take();
}

}  // namespace aftercurve
