#pragma once

#include <string_view>

namespace aftercurve {

/// The LaTeX command of a sign or Greek letter (base LaTeX, no package); empty where none is listed.
std::string_view latexSign(char32_t code);

}  // namespace aftercurve
