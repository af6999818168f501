#pragma once

namespace aftercurve {

/// What the diaries of symptoms show.
struct ToleranceFindings {};

}  // namespace aftercurve
