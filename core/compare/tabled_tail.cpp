#include "core/compare/tabled_tail.h"

#include <cmath>
#include <numbers>

namespace aftercurve {

namespace {

// Beyond, a tail does not enter any p worth a digit.
constexpr double tableEnd = 30.0;
constexpr int mostHalvings = 4;

}  // namespace

TabledTail::TabledTail(std::function<double(double)> tail, Panels panels)
    : tail_(std::move(tail)), panels_(panels) {
    for (std::size_t j = 0; j <= panels.degree; ++j) {
        points_.push_back(
            std::cos(std::numbers::pi * static_cast<double>(j) / static_cast<double>(panels.degree)));
    }
}

double TabledTail::widthAt(int halvings) const {
    return std::ldexp(panels_.width, -halvings);
}

TabledTail::Panel TabledTail::made(Place place) const {
    const double width = widthAt(place.first);
    const auto at = [&](double x) {
        return tail_((static_cast<double>(place.second) + 0.5 * (1.0 + x)) * width);
    };
    Panel panel;
    for (const double x : points_) {
        panel.logs.push_back(std::log(at(x)));
        if (!std::isfinite(panel.logs.back())) {
            return {};
        }
    }
    panel.kind = Kind::table;
    const std::size_t middle = panels_.degree / 2;
    for (const std::size_t j : {std::size_t{0}, middle, panels_.degree - 1}) {
        const double x = 0.5 * (points_[j] + points_[j + 1]);
        if (std::abs(interpolated(panel.logs, x) - std::log(at(x))) > panels_.tolerance) {
            return {place.first < mostHalvings ? Kind::halved : Kind::computed, {}};
        }
    }
    return panel;
}

const TabledTail::Panel& TabledTail::panelAt(Place place) {
    const auto found = filled_.find(place);
    return found != filled_.end() ? found->second : filled_.emplace(place, made(place)).first->second;
}

/// Barycentric formula: weights ±1, halved at the ends.
double TabledTail::interpolated(const std::vector<double>& logs, double x) const {
    double above = 0.0;
    double below = 0.0;
    for (std::size_t j = 0; j < points_.size(); ++j) {
        const double gap = x - points_[j];
        if (gap == 0.0) {
            return logs[j];
        }
        const double half = j == 0 || j + 1 == points_.size() ? 0.5 : 1.0;
        const double weight = (j % 2 == 0 ? half : -half) / gap;
        above += weight * logs[j];
        below += weight;
    }
    return above / below;
}

double TabledTail::operator()(double w) {
    if (!(w >= 0.0 && w < tableEnd)) {
        return tail_(w);
    }
    for (int halvings = 0; halvings <= mostHalvings; ++halvings) {
        const double position = w / widthAt(halvings);
        const auto index = static_cast<std::size_t>(position);
        const Panel& panel = panelAt({halvings, index});
        if (panel.kind == Kind::table) {
            return std::exp(interpolated(panel.logs, 2.0 * (position - static_cast<double>(index)) - 1.0));
        }
        if (panel.kind == Kind::computed) {
            break;
        }
    }
    return tail_(w);
}

}  // namespace aftercurve
