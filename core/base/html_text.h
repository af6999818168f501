#pragma once

#include <string>
#include <string_view>

namespace aftercurve {

/// & < > " ' as entities; control characters other than line breaks and tabs are dropped. Fit for XML as
/// well.
std::string htmlEscaped(std::string_view text);

}  // namespace aftercurve
