#pragma once

#include "core/base/progress.h"

namespace aftercurve {

/// A stretch of a longer work, told as the share from `from` to `to` of the whole. `progress` must outlive
/// it; empty where `progress` is.
inline Progress partOf(const Progress& progress, double from, double to) {
    if (!progress) {
        return {};
    }
    return [&progress, from, to](double part, std::string_view stage) {
        return progress(from + part * (to - from), stage);
    };
}

}  // namespace aftercurve
