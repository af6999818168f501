#include "core/findings/adjusted_p.h"

#include <cassert>

#include "core/compare/multiplicity_words.h"

namespace aftercurve {

std::vector<std::optional<double>> adjustedP(Multiplicity rule,
                                             std::span<const std::optional<double>> family) {
    const MultiplicityMethod* method = multiplicityMethod(wordFor(rule));
    assert(method != nullptr);  // a test walks over all rules
    return method->adjust(family);
}

std::string adjustmentLabel(Multiplicity rule) {
    const MultiplicityMethod* method = multiplicityMethod(wordFor(rule));
    assert(method != nullptr);
    return std::string{method->label};
}

std::string adjustmentLabel(ModelAdjustment adjustment) {
    switch (adjustment) {
        case ModelAdjustment::bonferroni:
            return "Bonferroni";
        case ModelAdjustment::tukey:
            return "Tukey (studentized range)";
        case ModelAdjustment::dunnett:
            return "Dunnett (largest of several t)";
        default:
            return std::string{multiplicityMethod(wordFor(adjustment))->label};
    }
}

}  // namespace aftercurve
