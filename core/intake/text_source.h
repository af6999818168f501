#pragma once

#include <functional>
#include <string_view>

#include "core/intake/source.h"

namespace aftercurve {

/// visitRows for a delimited text; `file` is what problems name.
Result<Done> visitText(std::string_view bytes, std::string_view file, const TextDialect& dialect,
                       const IntakeLimits& limits, const RowVisitor& visitor,
                       const std::function<bool(double)>& progress);

}  // namespace aftercurve
