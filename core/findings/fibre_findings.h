#pragma once

namespace aftercurve {

/// What the determinations of fibre and the recipes show.
struct FibreFindings {};

}  // namespace aftercurve
