#pragma once

#include <cstddef>
#include <functional>
#include <map>
#include <utility>
#include <vector>

namespace aftercurve {

/// A smooth tail g(w) from 1 at w = 0 towards 0, remembered: log g is interpolated in panels of w, at the
/// Chebyshev points of the second kind, each panel filled when it is first asked for. A panel that misses g
/// by more than `tolerance` (relative) between its points is halved, four times at most; beyond that, and
/// where g has no finite logarithm, g is computed. One g serves every t and every number of degrees of
/// freedom of a family. Not for use by two threads at once. Internal to core/compare.
class TabledTail {
  public:
    struct Panels {
        double width = 2.0;
        std::size_t degree = 14;
        double tolerance = 1e-10;
    };

    TabledTail(std::function<double(double)> tail, Panels panels);

    double operator()(double w);

  private:
    using Place = std::pair<int, std::size_t>;  ///< halvings, position

    enum class Kind { table, halved, computed };
    struct Panel {
        Kind kind = Kind::computed;
        std::vector<double> logs;
    };

    const Panel& panelAt(Place place);
    Panel made(Place place) const;
    double widthAt(int halvings) const;
    double interpolated(const std::vector<double>& logs, double x) const;

    std::function<double(double)> tail_;
    Panels panels_;
    std::vector<double> points_;  ///< Chebyshev points in [−1, 1]
    std::map<Place, Panel> filled_;
};

}  // namespace aftercurve
