#include "core/sensor/sensor_smoothing.h"

#include <algorithm>
#include <cassert>
#include <cmath>

#include "core/base/number_text.h"
#include "core/files/problem_list.h"

namespace aftercurve {

namespace {

constexpr int mostReadings = 301;
constexpr double widestMin = 360.0;
constexpr std::size_t askEvery = 16'384;

/// Median of an odd number of values that moves along a stretch.
class RunningMedian {
  public:
    explicit RunningMedian(std::span<const SensorReading> stretch) : stretch_(stretch) {}

    double at(std::size_t i, std::size_t half) {
        const bool moved = !window_.empty() && i == last_ + 1 && half == half_;
        if (moved) {
            replace(stretch_[i - 1 - half].value, stretch_[i + half].value);
        } else {
            window_.clear();
            for (std::size_t j = i - half; j <= i + half; ++j) {
                window_.push_back(stretch_[j].value);
            }
            std::sort(window_.begin(), window_.end());
        }
        last_ = i;
        half_ = half;
        return window_[half];
    }

  private:
    void replace(double gone, double come) {
        const auto from = std::lower_bound(window_.begin(), window_.end(), gone);
        const auto to = std::lower_bound(window_.begin(), window_.end(), come);
        if (from < to) {
            std::move(from + 1, to, from);
            *(to - 1) = come;
        } else {
            std::move_backward(to, from, from + 1);
            *to = come;
        }
    }

    std::span<const SensorReading> stretch_;
    std::vector<double> window_;
    std::size_t last_ = 0;
    std::size_t half_ = 0;
};

double tricube(double u) {
    const double cube = 1.0 - u * u * u;
    return cube * cube * cube;
}

/// The line through readings [from, to) at reading i; values are taken from that of i, times in bandwidths.
double lineAt(std::span<const SensorReading> stretch, std::size_t from, std::size_t to, std::size_t i,
              double bandwidthS) {
    double s0 = 0.0;
    double s1 = 0.0;
    double s2 = 0.0;
    double y0 = 0.0;
    double y1 = 0.0;
    for (std::size_t j = from; j < to; ++j) {
        const double u = static_cast<double>(stretch[j].second - stretch[i].second) / bandwidthS;
        const double w = tricube(std::abs(u));
        const double y = stretch[j].value - stretch[i].value;
        s0 += w;
        s1 += w * u;
        s2 += w * u * u;
        y0 += w * y;
        y1 += w * u * y;
    }
    const double det = s0 * s2 - s1 * s1;
    return stretch[i].value + (det > 0.0 ? (s2 * y0 - s1 * y1) / det : y0 / s0);
}

bool smoothStretch(std::span<const SensorReading> stretch, const SensorSmoothingOptions& options,
                   const std::function<bool()>& goOn, std::vector<double>& out) {
    RunningMedian median{stretch};
    const auto halfWindow = static_cast<std::size_t>(options.readings / 2);
    const double bandwidthS = options.bandwidthMin * 60.0;
    std::size_t from = 0;
    std::size_t to = 0;
    for (std::size_t i = 0; i < stretch.size(); ++i) {
        if (i % askEvery == 0 && goOn && !goOn()) {
            return false;
        }
        switch (options.kind) {
            case SensorSmoothing::none:
                out.push_back(stretch[i].value);
                break;
            case SensorSmoothing::median:
                out.push_back(median.at(i, std::min({halfWindow, i, stretch.size() - 1 - i})));
                break;
            case SensorSmoothing::line: {
                const std::int64_t here = stretch[i].second;
                while (static_cast<double>(here - stretch[from].second) >= bandwidthS) {
                    ++from;
                }
                while (to < stretch.size() && static_cast<double>(stretch[to].second - here) < bandwidthS) {
                    ++to;
                }
                out.push_back(lineAt(stretch, from, to, i, bandwidthS));
                break;
            }
        }
    }
    return true;
}

Problem cannot(std::string what, std::string remedy) {
    return problemAt({}, 0, {}, std::move(what), std::move(remedy));
}

}  // namespace

std::string_view wordFor(SensorSmoothing kind) {
    switch (kind) {
        case SensorSmoothing::none:
            return "none";
        case SensorSmoothing::median:
            return "median";
        case SensorSmoothing::line:
            return "line";
    }
    return "none";
}

std::optional<SensorSmoothing> sensorSmoothingFrom(std::string_view word) {
    for (const SensorSmoothing kind :
         {SensorSmoothing::none, SensorSmoothing::median, SensorSmoothing::line}) {
        if (wordFor(kind) == word) {
            return kind;
        }
    }
    return std::nullopt;
}

std::optional<Problem> validate(const SensorSmoothingOptions& options) {
    if (options.kind == SensorSmoothing::median &&
        (options.readings < 3 || options.readings > mostReadings || options.readings % 2 == 0)) {
        return cannot("a running median of " + std::to_string(options.readings) + " readings is not taken",
                      "choose an odd number from 3 to " + std::to_string(mostReadings));
    }
    if (options.kind == SensorSmoothing::line &&
        !(options.bandwidthMin > 0.0 && options.bandwidthMin <= widestMin)) {
        return cannot("a bandwidth of " + plainNumber(options.bandwidthMin) + " min is not taken",
                      "choose one above 0, at most " + plainNumber(widestMin) + " min");
    }
    if (!(options.maxGapMin > 0.0 && options.maxGapMin <= 1440.0)) {
        return cannot("a longest gap of " + plainNumber(options.maxGapMin) + " min is not taken",
                      "choose one above 0, at most 1440 min");
    }
    return std::nullopt;
}

std::vector<double> smoothedReadings(std::span<const SensorReading> readings,
                                     const SensorSmoothingOptions& options,
                                     const std::function<bool()>& goOn) {
    assert(!validate(options));
    std::vector<double> out;
    out.reserve(readings.size());
    const double gapS = options.maxGapMin * 60.0;
    for (std::size_t begin = 0; begin < readings.size();) {
        std::size_t end = begin + 1;
        while (end < readings.size() &&
               static_cast<double>(readings[end].second - readings[end - 1].second) <= gapS) {
            ++end;
        }
        if (!smoothStretch(readings.subspan(begin, end - begin), options, goOn, out)) {
            return {};
        }
        begin = end;
    }
    return out;
}

}  // namespace aftercurve
