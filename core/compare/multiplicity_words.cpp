#include "core/compare/multiplicity_words.h"

#include <algorithm>
#include <array>

#include "core/compare/benjamini_hochberg.h"
#include "core/compare/hochberg.h"
#include "core/compare/holm.h"

namespace aftercurve {

namespace {

std::vector<std::optional<double>> unadjusted(std::span<const std::optional<double>> p) {
    return {p.begin(), p.end()};
}

constexpr std::string_view familyWise = "chance of one or more false rejections in the family";

constexpr std::array methods{
    MultiplicityMethod{"none", "not adjusted", "chance of a false rejection in each test by itself",
                       unadjusted},
    MultiplicityMethod{"holm", "Holm", familyWise, holmAdjusted},
    MultiplicityMethod{"hochberg", "Hochberg", familyWise, hochbergAdjusted},
    MultiplicityMethod{"benjamini-hochberg", "Benjamini–Hochberg",
                       "expected share of false ones among the rejections", benjaminiHochbergAdjusted},
};

}  // namespace

std::span<const MultiplicityMethod> multiplicityMethods() {
    return methods;
}

const MultiplicityMethod* multiplicityMethod(std::string_view word) {
    const auto* const found =
        std::find_if(methods.begin(), methods.end(), [&](const auto& method) { return method.word == word; });
    return found == methods.end() ? nullptr : found;
}

}  // namespace aftercurve
