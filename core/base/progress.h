#pragma once

#include <functional>
#include <string_view>

namespace aftercurve {

/// Told how far long work is (0 to 1) and what it does; answers false to stop it.
using Progress = std::function<bool(double fraction, std::string_view stage)>;

}  // namespace aftercurve
