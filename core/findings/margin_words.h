#pragma once

#include "core/compare/margin_estimate.h"

namespace aftercurve {

/// "mean difference", "ratio of geometric means", "ratio of means".
constexpr const char* labelOf(MarginScale scale) {
    switch (scale) {
        case MarginScale::meanDifference:
            return "mean difference";
        case MarginScale::geometricMeanRatio:
            return "ratio of geometric means";
        case MarginScale::ratioOfMeans:
            return "ratio of means";
    }
    return "";
}

}  // namespace aftercurve
