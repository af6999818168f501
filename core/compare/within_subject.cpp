#include "core/compare/within_subject.h"

#include <algorithm>
#include <cmath>

#include "core/compare/scaled.h"

namespace aftercurve {

namespace {

constexpr double relativeResolution = 1e-11;

double plainMean(std::span<const double> value) {
    double sum = 0.0;
    for (const double x : value) {
        sum += x;
    }
    const double first = sum / static_cast<double>(value.size());
    double rest = 0.0;
    for (const double x : value) {
        rest += x - first;
    }
    return first + rest / static_cast<double>(value.size());
}

double range(std::span<const double> value) {
    const auto [low, high] = std::minmax_element(value.begin(), value.end());
    return *high - *low;
}

/// Σ(x − m)²; 0 where the values are equal within their resolution.
double squares(std::span<const double> value, double centre, double resolution) {
    if (range(value) <= resolution) {
        return 0.0;
    }
    double sum = 0.0;
    for (const double x : value) {
        sum += (x - centre) * (x - centre);
    }
    return sum;
}

void say(std::string& note, const char* more) {
    note += (note.empty() ? "" : "; ") + std::string{more};
}

/// Of scaled values, laid out one subject after the other.
struct Groups {
    std::vector<std::span<const double>> value;
    std::vector<double> mean;
    double resolution = 0.0;
};

void addCv(const Groups& groups, WithinSubject& result) {
    double sum = 0.0;
    double sumOfSquares = 0.0;
    for (std::size_t i = 0; i < groups.value.size(); ++i) {
        const auto& value = groups.value[i];
        if (value.size() < 2) {
            continue;
        }
        if (!(groups.mean[i] > 0.0)) {
            say(result.note, "no CV: a subject's mean is not above 0");
            return;
        }
        const double variance =
            squares(value, groups.mean[i], groups.resolution) / static_cast<double>(value.size() - 1);
        const double cv = 100.0 * (std::sqrt(variance) / groups.mean[i]);
        sum += cv;
        sumOfSquares += cv * cv;
    }
    const auto n = static_cast<double>(result.repeated);
    if (!std::isfinite(sumOfSquares)) {
        say(result.note, "no CV: too large to be represented");
        return;
    }
    result.cvMeanPercent = sum / n;
    result.cvRmsPercent = std::sqrt(sumOfSquares / n);
}

void addBetween(const Groups& groups, const Scaled& all, double within, WithinSubject& result) {
    if (groups.value.size() < 2) {
        say(result.note, "one subject: nothing between subjects");
        return;
    }
    const double grand = plainMean(all.value);
    const auto subjects = static_cast<double>(groups.value.size());
    const auto values = static_cast<double>(all.value.size());
    double sumOfSquares = 0.0;
    double squaredCounts = 0.0;
    for (std::size_t i = 0; i < groups.value.size(); ++i) {
        const auto k = static_cast<double>(groups.value[i].size());
        sumOfSquares += k * (groups.mean[i] - grand) * (groups.mean[i] - grand);
        squaredCounts += k * k;
    }
    if (range(groups.mean) <= groups.resolution) {
        sumOfSquares = 0.0;
    }
    const double effectiveCount = (values - squaredCounts / values) / (subjects - 1.0);
    double between = (sumOfSquares / (subjects - 1.0) - within) / effectiveCount;
    if (between < 0.0) {
        between = 0.0;
        say(result.note, "between-subject variance estimated below 0 and set to 0");
    }
    result.betweenSd = scaledBack(std::sqrt(between), all.exponent);
    if (between + within > 0.0) {
        result.intraclass = between / (between + within);
    } else {
        say(result.note, "all values are equal: no intraclass correlation");
    }
}

}  // namespace

WithinSubject withinSubject(std::span<const std::vector<double>> bySubject) {
    WithinSubject result;
    std::vector<double> flat;
    for (const std::vector<double>& value : bySubject) {
        flat.insert(flat.end(), value.begin(), value.end());
        result.subjects += value.empty() ? 0U : 1U;
        result.repeated += value.size() > 1 ? 1U : 0U;
        result.repeats += value.size() > 1 ? value.size() : 0;
    }
    result.values = flat.size();
    if (result.repeated == 0) {
        result.absentBecause = "no subject with two visits that count";
        return result;
    }
    const std::optional<Scaled> all = scaledNearOne(flat);
    if (!all) {
        result.absentBecause = "a value is not a finite number";
        return result;
    }
    Groups groups;
    for (const double x : all->value) {
        groups.resolution = std::max(groups.resolution, relativeResolution * std::abs(x));
    }
    std::size_t begin = 0;
    double sumOfSquares = 0.0;
    for (const std::vector<double>& value : bySubject) {
        if (value.empty()) {
            continue;
        }
        groups.value.emplace_back(all->value.data() + begin, value.size());
        groups.mean.push_back(plainMean(groups.value.back()));
        sumOfSquares += squares(groups.value.back(), groups.mean.back(), groups.resolution);
        begin += value.size();
    }
    const auto df = static_cast<double>(result.values - result.subjects);
    const double within = sumOfSquares / df;
    result.df = df;
    result.sd = scaledBack(std::sqrt(within), all->exponent);
    result.repeatabilityLimit = scaledBack(1.96 * std::sqrt(2.0) * std::sqrt(within), all->exponent);
    addCv(groups, result);
    addBetween(groups, *all, within, result);
    return result;
}

}  // namespace aftercurve
