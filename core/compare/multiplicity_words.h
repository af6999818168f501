#pragma once

#include <optional>
#include <span>
#include <string_view>
#include <vector>

namespace aftercurve {

/// A way to adjust the p of a family: its word in a plan, its name in text, what it holds at the level asked,
/// and the function. Every function keeps the order and the length of the p it is given.
struct MultiplicityMethod {
    std::string_view word;
    std::string_view label;
    std::string_view holds;
    std::vector<std::optional<double>> (*adjust)(std::span<const std::optional<double>> p);
};

/// All methods, `none` first. No two share a word.
std::span<const MultiplicityMethod> multiplicityMethods();

/// Null for a word that is not in the list.
const MultiplicityMethod* multiplicityMethod(std::string_view word);

}  // namespace aftercurve
