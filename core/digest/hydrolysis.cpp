#include "core/digest/hydrolysis.h"

#include <array>
#include <cmath>
#include <map>
#include <vector>

#include "core/base/number_text.h"
#include "core/compare/descriptive.h"

namespace aftercurve {

namespace {

constexpr std::array equations{
    IndexEquation{"goni_1997", 39.71, 0.549, "39.71 + 0.549·HI",
                  "Goñi, García-Alonso & Saura-Calixto 1997, Nutr Res 17:427 (from memory)"},
    IndexEquation{"granfeldt_1992", 8.198, 0.862, "8.198 + 0.862·HI",
                  "Granfeldt, Björck, Drews & Tovar 1992, Eur J Clin Nutr 46:649 (from memory)"}};

}  // namespace

DigestValue trapezoidArea(std::span<const CurvePoint> points, double lastMin, bool interpolate) {
    std::map<double, std::vector<double>> byTime;
    for (const CurvePoint& point : points) {
        if (!std::isfinite(point.timeMin) || !std::isfinite(point.value)) {
            return DigestValue::none("a point is not finite");
        }
        byTime[point.timeMin].push_back(point.value);
    }
    if (byTime.empty()) {
        return DigestValue::none("there is no reading");
    }
    double time = 0.0;
    double value = 0.0;
    double area = 0.0;
    for (const auto& [nextTime, values] : byTime) {
        const double next = mean(values).value_or(0.0);
        if (nextTime <= 0.0) {
            value = next;
            continue;
        }
        if (nextTime <= lastMin) {
            area += (nextTime - time) * (value + next) / 2.0;
            time = nextTime;
            value = next;
            continue;
        }
        if (time < lastMin && interpolate) {
            const double atLast = value + (next - value) * (lastMin - time) / (nextTime - time);
            DigestValue result = DigestValue::of(area + (lastMin - time) * (value + atLast) / 2.0);
            result.note = "interpolated at " + plainNumber(lastMin) + " min between " + plainNumber(time) +
                          " and " + plainNumber(nextTime) + " min";
            return result;
        }
        break;
    }
    if (time != lastMin) {
        return DigestValue::none("there is no reading at " + plainNumber(lastMin) + " min");
    }
    return DigestValue::of(area);
}

DigestValue hydrolysisIndex(const DigestValue& area, const DigestValue& reference) {
    if (!area.value) {
        return area;
    }
    if (!reference.value) {
        return DigestValue::none("the reference has no area: " + reference.absentBecause);
    }
    if (!(*reference.value > 0.0)) {
        return DigestValue::none("the area of the reference is not above 0");
    }
    return DigestValue::of(100.0 * *area.value / *reference.value);
}

std::optional<double> hydrolysisIndexSe(double area, double areaSe, double reference, double referenceSe) {
    if (!(area > 0.0) || !(reference > 0.0)) {
        return std::nullopt;
    }
    const double se = 100.0 * area / reference * std::hypot(areaSe / area, referenceSe / reference);
    return std::isfinite(se) ? std::optional{se} : std::nullopt;
}

std::span<const IndexEquation> indexEquations() {
    return equations;
}

DigestValue estimatedIndex(const IndexEquation& equation, const DigestValue& hydrolysisIndex) {
    if (!hydrolysisIndex.value) {
        return hydrolysisIndex;
    }
    return DigestValue::of(equation.intercept + equation.slope * *hydrolysisIndex.value);
}

std::string_view estimateCaution() {
    return "An estimate from digestion in vitro, never a measured index: a glycaemic index is measured in "
           "people.";
}

}  // namespace aftercurve
