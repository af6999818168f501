#include "core/fibre/basis.h"

namespace aftercurve {

namespace {

constexpr const char* noMoisture = "the moisture is not given";

}  // namespace

PortionValue asIsFromDry(double dry, const std::optional<double>& moisturePercent) {
    if (!moisturePercent) {
        return absentPortionValue(noMoisture);
    }
    return finitePortionValue(dry * (100.0 - *moisturePercent) / 100.0);
}

PortionValue dryFromAsIs(double asIs, const std::optional<double>& moisturePercent) {
    if (!moisturePercent) {
        return absentPortionValue(noMoisture);
    }
    if (!(*moisturePercent < 100.0)) {
        return absentPortionValue("the material has no dry matter");
    }
    return finitePortionValue(asIs * 100.0 / (100.0 - *moisturePercent));
}

}  // namespace aftercurve
