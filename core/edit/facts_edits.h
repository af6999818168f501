#pragma once

#include <span>
#include <string>

#include "core/study/study.h"

namespace aftercurve {

/// What is wrong with a part of a meal that a person enters; empty: nothing.
std::string faultOf(const MealPart& part);

/// What is wrong with facts that a person enters: texts that study.json cannot hold, numbers that are not
/// finite or negative. Empty: nothing.
std::string faultOf(const Conduct& conduct);

/// What is wrong with figures that a person enters: what `validate` finds first, and texts that study.json
/// cannot hold. Empty: nothing.
std::string faultOf(std::span<const FigureSpec> figures);

}  // namespace aftercurve
