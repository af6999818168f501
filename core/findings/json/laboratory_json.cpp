#include "core/findings/json/json_parts.h"

namespace aftercurve {

Json laboratoryEffectJson(const LaboratoryEffect& effect) {
    return {{"method", textOrNull(effect.method)},
            {"quantity", effect.quantity},
            {"unit", textOrNull(effect.unit)},
            {"of", effect.of},
            {"n", effect.n},
            {"value", orNull(effect.value)},
            {"absent_because", textOrNull(effect.absentBecause)},
            {"n_ignoring", effect.nIgnoring},
            {"value_ignoring", orNull(effect.valueIgnoring)}};
}

Json leftOutJson(const std::vector<LaboratoryLeftOut>& leftOut) {
    return arrayOf(leftOut, [](const LaboratoryLeftOut& one) {
        return Json{{"what", one.what}, {"part", wordFor(one.part)}, {"reason", one.reason}};
    });
}

}  // namespace aftercurve
