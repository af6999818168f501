#pragma once

#include <string>
#include <vector>

namespace aftercurve {

/// One requirement of one published rule, and what the study has.
struct ConformityFinding {
    std::string standard;
};

}  // namespace aftercurve
