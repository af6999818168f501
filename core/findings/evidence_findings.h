#pragma once

#include <string>
#include <vector>

namespace aftercurve {

/// One point that an authority looks at, and what the study shows of it.
struct EvidenceFinding {
    std::string point;
};

}  // namespace aftercurve
