#include "core/digest/log_of_slope.h"

#include <algorithm>
#include <cmath>
#include <limits>
#include <map>

#include "core/compare/descriptive.h"

namespace aftercurve {

namespace {

constexpr std::size_t leastPoints = 3;
constexpr double roundingShare = 1e-24;  ///< of Σ(y − mean)²

struct LogPoint {
    double timeMin = 0.0;
    double logSlope = 0.0;
};

struct Line {
    double slope = 0.0;
    double intercept = 0.0;
    double rss = 0.0;
    std::optional<double> slopeSe;
};

Line lineThrough(std::span<const LogPoint> points) {
    const auto n = static_cast<double>(points.size());
    double meanT = 0.0;
    double meanY = 0.0;
    for (const LogPoint& point : points) {
        meanT += point.timeMin / n;
        meanY += point.logSlope / n;
    }
    double tt = 0.0;
    double ty = 0.0;
    double yy = 0.0;
    for (const LogPoint& point : points) {
        tt += (point.timeMin - meanT) * (point.timeMin - meanT);
        ty += (point.timeMin - meanT) * (point.logSlope - meanY);
        yy += (point.logSlope - meanY) * (point.logSlope - meanY);
    }
    Line line;
    line.slope = ty / tt;
    line.intercept = meanY - line.slope * meanT;
    for (const LogPoint& point : points) {
        const double off = point.logSlope - line.intercept - line.slope * point.timeMin;
        line.rss += off * off;
    }
    if (points.size() > 2 && line.rss > roundingShare * yy) {
        line.slopeSe = std::sqrt(line.rss / (n - 2.0) / tt);
    }
    return line;
}

SlopePhase phaseOf(std::span<const LogPoint> points) {
    const Line line = lineThrough(points);
    SlopePhase phase;
    phase.fromMin = points.front().timeMin;
    phase.toMin = points.back().timeMin;
    phase.n = points.size();
    phase.k = -line.slope;
    phase.kSe = line.slopeSe;
    phase.intercept = line.intercept;
    if (phase.k > 0.0 && std::isfinite(std::exp(line.intercept) / phase.k)) {
        phase.cinf = std::exp(line.intercept) / phase.k;
    }
    return phase;
}

std::optional<double> aicc(double rss, std::size_t count, double k) {
    const auto n = static_cast<double>(count);
    if (n <= k + 1.0 || rss <= 0.0) {
        return std::nullopt;
    }
    return n * std::log(rss / n) + 2.0 * k + 2.0 * k * (k + 1.0) / (n - k - 1.0);
}

/// Place of the first point of the second line where two lines fit best; nothing where there are too few
/// points.
std::optional<std::size_t> bestSplit(std::span<const LogPoint> points, double& rss) {
    std::optional<std::size_t> best;
    for (std::size_t split = leastPoints; split + leastPoints <= points.size(); ++split) {
        const double sum = lineThrough(points.first(split)).rss + lineThrough(points.subspan(split)).rss;
        if (!best || sum < rss) {
            best = split;
            rss = sum;
        }
    }
    return best;
}

/// One point a time, in their order: the mean where a time has several.
std::vector<CurvePoint> averaged(std::span<const CurvePoint> curve) {
    std::map<double, std::vector<double>> byTime;
    for (const CurvePoint& point : curve) {
        byTime[point.timeMin].push_back(point.value);
    }
    std::vector<CurvePoint> points;
    for (const auto& [time, values] : byTime) {
        points.push_back({time, mean(values).value_or(std::numeric_limits<double>::quiet_NaN())});
    }
    return points;
}

void addSlopes(std::span<const CurvePoint> curve, LogOfSlope& result, std::vector<LogPoint>& logs) {
    for (std::size_t i = 0; i + 1 < curve.size(); ++i) {
        const double step = curve[i + 1].timeMin - curve[i].timeMin;
        SlopePoint point;
        point.timeMin = curve[i].timeMin + step / 2.0;
        point.slope = (curve[i + 1].value - curve[i].value) / step;
        if (!std::isfinite(point.slope)) {
            result.absentBecause = "a point is not finite";
            return;
        }
        if (point.slope > 0.0) {
            point.logSlope = std::log(point.slope);
            logs.push_back({point.timeMin, *point.logSlope});
        } else {
            ++result.withoutLog;
        }
        result.points.push_back(point);
    }
}

/// Whether two lines say more than one that leaves nothing but rounding.
bool isStraight(std::span<const LogPoint> points, double rss) {
    double largest = 0.0;
    for (const LogPoint& point : points) {
        largest = std::max(largest, std::abs(point.logSlope));
    }
    return rss <= 1e-22 * static_cast<double>(points.size()) * std::max(largest * largest, 1.0);
}

/// What a phase adds to the curve between two times: Cinf(e^(−k·from) − e^(−k·to)).
double phaseRise(const SlopePhase& phase, double from, double to) {
    return -phase.cinf.value_or(0.0) * std::exp(-phase.k * from) * std::expm1(-phase.k * (to - from));
}

std::optional<double> residualSdOf(const LogOfSlope& slopes, std::span<const CurvePoint> readings) {
    const std::size_t constants = slopes.phases.size() == 2 ? 6 : 3;
    if (readings.size() <= constants) {
        return std::nullopt;
    }
    double sum = 0.0;
    for (const CurvePoint& reading : readings) {
        const auto value = slopeCurve(slopes, readings.front(), reading.timeMin);
        if (!value) {
            return std::nullopt;
        }
        sum += (reading.value - *value) * (reading.value - *value);
    }
    const double sd = std::sqrt(sum / static_cast<double>(readings.size() - constants));
    return std::isfinite(sd) ? std::optional{sd} : std::nullopt;
}

/// Adds the lines to what `result` holds already.
void addPhases(LogOfSlope& result, std::span<const LogPoint> all) {
    const double rssOne = lineThrough(all).rss;
    result.aiccOne = aicc(rssOne, all.size(), 3.0);
    double rssTwo = 0.0;
    const auto split = bestSplit(all, rssTwo);
    if (split && !isStraight(all, rssOne)) {
        result.aiccTwo = aicc(rssTwo, all.size(), 6.0);
        const SlopePhase first = phaseOf(all.first(*split));
        const SlopePhase second = phaseOf(all.subspan(*split));
        const bool exact = isStraight(all, rssTwo);
        const bool better = exact || (result.aiccOne && result.aiccTwo && *result.aiccTwo < *result.aiccOne);
        if (better && first.cinf && second.cinf) {
            result.phases = {first, second};
            const double meet = (first.intercept - second.intercept) / (first.k - second.k);
            if (first.k != second.k && std::isfinite(meet) && meet > 0.0) {
                result.bendMin = meet;
            }
            return;
        }
    }
    result.phases = {phaseOf(all)};
    if (!result.phases.front().cinf) {
        result.absentBecause = "the slope does not fall with time: there is no rate constant";
    }
}

}  // namespace

LogOfSlope logOfSlope(std::span<const CurvePoint> curve) {
    LogOfSlope result;
    std::vector<LogPoint> logs;
    const std::vector<CurvePoint> readings = averaged(curve);
    addSlopes(readings, result, logs);
    if (!result.absentBecause.empty()) {
        return result;
    }
    if (logs.size() < leastPoints) {
        result.absentBecause = std::to_string(logs.size()) +
                               (logs.size() == 1 ? " slope above 0 is" : " slopes above 0 are") +
                               " too few for a line; three are needed";
        return result;
    }
    addPhases(result, logs);
    result.curveResidualSd = residualSdOf(result, readings);
    return result;
}

std::optional<double> phaseChangeMin(const LogOfSlope& slopes) {
    if (slopes.phases.size() != 2) {
        return std::nullopt;
    }
    const SlopePhase& first = slopes.phases[0];
    const SlopePhase& second = slopes.phases[1];
    if (slopes.bendMin && *slopes.bendMin >= first.fromMin && *slopes.bendMin <= second.toMin) {
        return slopes.bendMin;
    }
    return first.toMin + (second.fromMin - first.toMin) / 2.0;
}

std::optional<double> slopeCurve(const LogOfSlope& slopes, const CurvePoint& firstReading, double timeMin) {
    const bool known = std::all_of(slopes.phases.begin(), slopes.phases.end(),
                                   [](const SlopePhase& phase) { return phase.cinf.has_value(); });
    if (slopes.phases.empty() || !known) {
        return std::nullopt;
    }
    const double change = phaseChangeMin(slopes).value_or(timeMin);
    double value = firstReading.value +
                   phaseRise(slopes.phases.front(), firstReading.timeMin, std::min(timeMin, change));
    if (timeMin > change) {
        value += phaseRise(slopes.phases.back(), change, timeMin);
    }
    return std::isfinite(value) ? std::optional{value} : std::nullopt;
}

}  // namespace aftercurve
