#pragma once

#include <string_view>

namespace aftercurve {

/// The caution that every report and window carries.
std::string_view cautionText();

}  // namespace aftercurve
