#pragma once

#include <span>
#include <string>
#include <vector>

#include "core/study/study.h"

namespace aftercurve {

/// What an exclusion took out of the laboratory's results, for people.
struct LaboratoryLeftOut {
    std::string what;    ///< "Pea starch, run 2, replicate 1", "Pea starch, 2009.01, replicate 3"
    std::string reason;  ///< Exclusion::reason

    bool operator==(const LaboratoryLeftOut&) const = default;
};

/// True for an exclusion that names a material, run, method or replicate. It names no subject, food, visit or
/// analyte; a time goes with digestions only and takes out single readings.
bool isOfLaboratory(const Exclusion& exclusion);

/// The first exclusion that takes out this reading; null for none. A blank has no sample: only an exclusion
/// of its whole run (no material) takes it out.
const Exclusion* excludes(std::span<const Exclusion> exclusions, const AssayReading& reading);

/// The first exclusion that takes out this result of fibre; null for none.
const Exclusion* excludes(std::span<const Exclusion> exclusions, const FibreResult& result);

}  // namespace aftercurve
