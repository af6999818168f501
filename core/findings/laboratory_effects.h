#pragma once

#include <cstddef>
#include <optional>
#include <string>
#include <vector>

#include "core/study/study.h"

namespace aftercurve {

struct Findings;

/// One result of the laboratory with the exclusions and with none applied.
struct LaboratoryEffect {
    std::string key;     ///< stable and unique: "digestion/pea/k"
    std::string method;  ///< of a result of fibre, with its laboratory: "2009.01"; empty: digestion in vitro
    std::string quantity;  ///< "Rapidly digestible starch", "Total fibre"
    std::string unit;
    std::string of;     ///< label of the sample, material
    std::size_t n = 0;  ///< digestions or determinations with a value
    std::optional<double> value;
    std::string absentBecause;  ///< of `value`
    std::size_t nIgnoring = 0;
    std::optional<double> valueIgnoring;

    /// Whether the exclusions change it.
    bool changes() const { return n != nIgnoring || value != valueIgnoring; }
};

/// What the exclusions of the laboratory do: of every sample the three fractions on the compared basis, the
/// mean k of the one-phase curves and the hydrolysis index, where digestions are excluded; the mean of every
/// result of fibre that has an excluded determination, as it is where both sides have that, else of dry
/// matter. `whole` is the study without its exclusions, `findings` are those with them. Empty where no
/// exclusion takes out something of the laboratory.
std::vector<LaboratoryEffect> laboratoryEffects(const Study& whole, const Findings& findings);

}  // namespace aftercurve
