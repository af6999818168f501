#pragma once

#include <span>
#include <string>
#include <string_view>
#include <vector>

#include "core/study/study.h"

namespace aftercurve {

/// What kind of thing was taken out.
enum class LaboratoryPart { digestion, reading, blanks, determination };

/// "digestion", "reading", "blanks", "determination".
std::string_view wordFor(LaboratoryPart part);

/// What an exclusion took out of the laboratory's results, for people.
struct LaboratoryLeftOut {
    std::string what;    ///< "Pea starch, run 2, replicate 1", "Pea starch, 2009.01, replicate 3"
    std::string reason;  ///< Exclusion::reason
    LaboratoryPart part = LaboratoryPart::digestion;

    bool operator==(const LaboratoryLeftOut&) const = default;
};

/// True for an exclusion that names a material, run, method or replicate. It names no subject, food, visit or
/// analyte; a time goes with digestions only and takes out single readings.
bool isOfLaboratory(const Exclusion& exclusion);

/// Whether some of them are of the laboratory; whether some are of subjects.
bool anyOfLaboratory(std::span<const Exclusion> exclusions);
bool anyOfSubjects(std::span<const Exclusion> exclusions);

/// What an exclusion of the laboratory names, as it stands in study.json: "pea, run 2, replicate 1, 30 min".
std::string laboratoryPlace(const Exclusion& exclusion);

/// The first exclusion that takes out this reading; null for none. A blank has no sample: only an exclusion
/// of its whole run (no material) takes it out.
const Exclusion* excludes(std::span<const Exclusion> exclusions, const AssayReading& reading);

/// The first exclusion that takes out this result of fibre; null for none. "AOAC 2009.01" and "2009.01" are
/// the same method; all fractions and laboratories of a replicate go together.
const Exclusion* excludes(std::span<const Exclusion> exclusions, const FibreResult& result);

}  // namespace aftercurve
