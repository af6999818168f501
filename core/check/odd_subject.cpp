// A subject whose curves are all unlike those of the others.
#include <algorithm>
#include <array>
#include <cmath>
#include <map>
#include <set>

#include "core/check/checks.h"
#include "core/check/found.h"
#include "core/compare/descriptive.h"
#include "core/curve/measures.h"
#include "core/curve/window.h"

namespace aftercurve::checks {

namespace {

constexpr std::string_view key = "odd-subject";
constexpr std::size_t leastCurves = 2;
constexpr std::size_t leastSubjects = 6;  ///< with the same food, for a median and a MAD
/// Modified z = 0.6745 (x − median) / MAD; 3.5: Iglewicz & Hoaglin 1993, from memory.
constexpr double modifiedZ = 0.6745;
constexpr double zLimit = 3.5;
/// Other curves of the study that must rise before one subject's flat curves are remarkable.
constexpr double mostRise = 0.5;

struct Shape {
    const CheckCurve* curve = nullptr;
    std::optional<double> level;    ///< mean of the fasting values
    std::optional<double> highest;  ///< after the meal
    std::optional<double> area;
    std::optional<double> peak;

    bool rises() const { return *highest > *level; }
};

Shape shapeOf(const CheckInput& input, const CheckCurve& curve) {
    Shape shape;
    shape.curve = &curve;
    shape.level = mean(fastingValues(curve));
    const std::vector<double> meal = mealValues(curve);
    if (!meal.empty()) {
        shape.highest = *std::max_element(meal.begin(), meal.end());
    }
    std::vector<double> time;
    std::vector<double> value;
    for (const CheckSample& sample : curve.samples) {
        time.push_back(sample.timeMin);
        value.push_back(sample.value);
    }
    if (!curve.samples.empty()) {
        const WindowPoints window = windowPoints(time, value, input.plan);
        const auto list = measureList();
        if (window.usable()) {
            shape.area = list[*measureIndex("area_positive_incremental")].compute(window);
            shape.peak = list[*measureIndex("peak_rise")].compute(window);
        }
    }
    return shape;
}

using Part = std::optional<double> Shape::*;

/// Median and MAD of one measure over all curves of one food.
struct Spread {
    double middle = 0.0;
    double mad = 0.0;
};

/// By food (index); absent where fewer than `leastSubjects` subjects have the measure, or where more than
/// half of the values are equal.
std::vector<std::optional<Spread>> spreads(const CheckInput& input, const std::vector<Shape>& shapes,
                                           Part part) {
    std::vector<std::optional<Spread>> byFood(input.study.foods.size());
    std::vector<std::vector<double>> values(byFood.size());
    std::vector<std::set<std::uint32_t>> subjects(byFood.size());
    for (const Shape& shape : shapes) {
        if (shape.*part) {
            const CheckVisit& visit = input.visitOf(*shape.curve);
            values[visit.food].push_back(*(shape.*part));
            subjects[visit.food].insert(visit.subject);
        }
    }
    for (std::size_t food = 0; food < byFood.size(); ++food) {
        const auto middle = median(values[food]);
        if (!middle || subjects[food].size() < leastSubjects) {
            continue;
        }
        for (double& value : values[food]) {
            value = std::abs(value - *middle);
        }
        const auto mad = median(values[food]);
        if (mad && *mad > 0.0) {
            byFood[food] = Spread{*middle, *mad};
        }
    }
    return byFood;
}

/// Which way all of a subject's curves lie outside: "above" or "below"; empty: not all do.
std::string_view outside(const CheckInput& input, const std::vector<std::optional<Spread>>& byFood,
                         const std::vector<const Shape*>& own, Part part) {
    std::size_t above = 0;
    std::size_t below = 0;
    for (const Shape* shape : own) {
        const auto& spread = byFood[input.visitOf(*shape->curve).food];
        const auto& value = shape->*part;
        if (!spread || !value) {
            return {};
        }
        const double z = modifiedZ * (*value - spread->middle) / spread->mad;
        above += static_cast<std::size_t>(z > zLimit);
        below += static_cast<std::size_t>(z < -zLimit);
    }
    return above == own.size() ? "above" : below == own.size() ? "below" : std::string_view{};
}

void checkAnalyte(const CheckInput& input, const std::vector<Shape>& shapes, Found& found) {
    std::map<std::uint32_t, std::vector<const Shape*>> subjects;
    std::size_t judged = 0;
    std::size_t rising = 0;
    for (const Shape& shape : shapes) {
        subjects[input.visitOf(*shape.curve).subject].push_back(&shape);
        if (shape.level && shape.highest) {
            ++judged;
            rising += static_cast<std::size_t>(shape.rises());
        }
    }
    struct Judged {
        Part part;
        const char* name;
        std::vector<std::optional<Spread>> byFood;
    };
    const std::array<Judged, 2> parts{
        Judged{&Shape::area, "positive incremental area", spreads(input, shapes, &Shape::area)},
        Judged{&Shape::peak, "peak rise", spreads(input, shapes, &Shape::peak)}};
    for (const auto& [subject, own] : subjects) {
        if (own.size() < leastCurves) {
            continue;
        }
        const bool flat = std::all_of(own.begin(), own.end(),
                                      [](const Shape* s) { return s->level && s->highest && !s->rises(); });
        const std::size_t others = judged - (flat ? own.size() : 0);
        std::string what;
        if (flat && others > 0 && static_cast<double>(rising) > mostRise * static_cast<double>(others)) {
            what = "none of the " + std::to_string(own.size()) +
                   " curves rises above its fasting level, while those of most others do";
        } else {
            for (const auto& [part, name, byFood] : parts) {
                const std::string_view side = outside(input, byFood, own, part);
                if (!side.empty()) {
                    what = "the " + std::string{name} + " of all " + std::to_string(own.size()) +
                           " curves lies far " + std::string{side} +
                           " those of the other subjects (modified z beyond 3.5)";
                    break;
                }
            }
        }
        if (what.empty()) {
            continue;
        }
        found.add(Severity::warning, [&, own = own] {
            Problem p = problemAt(input, *own.front()->curve);
            p.food.clear();
            p.visit = 0;
            p.what = "subject " + p.subject + ", " + p.analyte + ": " + what;
            p.remedy =
                "look at the subject's curves, the codes on the tubes and whether the subject is eligible";
            return p;
        });
    }
}

std::vector<Problem> run(const CheckInput& input) {
    Found found{input, key};
    for (std::size_t first = 0; first < input.curves.size();) {
        std::vector<Shape> shapes;
        std::size_t last = first;
        for (; last < input.curves.size() && input.curves[last].analyte == input.curves[first].analyte;
             ++last) {
            const CheckCurve& curve = input.curves[last];
            // What looks like another unit or column is reported as that.
            if (CheckInput::looksAt(curve) && !curve.samples.empty() && curve.looksLikeUnit.empty() &&
                !input.visitOf(curve).looksReversed) {
                shapes.push_back(shapeOf(input, curve));
            }
        }
        checkAnalyte(input, shapes, found);
        first = last;
    }
    return found.take();
}

}  // namespace

Check oddSubject() {
    return {
        key, "Every curve of a subject is odd",
        "modified z of 3.5: Iglewicz & Hoaglin 1993, from memory; no rise at all: common practice, no source",
        run};
}

}  // namespace aftercurve::checks
