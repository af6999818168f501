#pragma once

#include <string>
#include <string_view>

#include "core/base/result.h"

namespace aftercurve {

/// What an SVG inside a page is called and says to those who do not see it.
struct SvgWords {
    std::string prefix;  ///< put before every id, so that no two pictures of a page share one
    std::string title;
    std::string description;
};

/// An SVG file as an element of a page: no XML declaration and no document type; every id, and what points to
/// it, with the prefix; role="img", title and desc as given and named by aria-labelledby and
/// aria-describedby. What could run or fetch something (script, event attributes, links and pictures that are
/// not inside the file) is taken out. A text that is no well-formed SVG is a problem.
Result<std::string> inlineSvg(std::string_view svg, const SvgWords& words);

}  // namespace aftercurve
