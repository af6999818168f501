#pragma once

#include <optional>
#include <string>
#include <vector>

#include "core/study/laboratory_exclusion.h"

namespace aftercurve {

/// The assays or the fibre of a study without what its exclusions take out.
template <class Data>
struct Counted {
    std::optional<Data> without;  ///< absent where nothing is taken out: the data count as they are
    std::vector<LaboratoryLeftOut> leftOut;  ///< each once, in file order

    const Data& of(const Data& whole) const { return without ? *without : whole; }
};

/// The assays without the readings that an exclusion takes out; all else as it is. A digestion without a
/// reading left is no digestion, a run that is excluded loses its blanks too.
Counted<AssayData> countedAssays(const Study& study);

/// The results of fibre likewise.
Counted<FibreData> countedFibre(const Study& study);

/// Why a sample has no digestion that counts: "all its digestions are excluded: enzyme left out". Empty where
/// it has no reading at all, or where one counts.
std::string whyAllExcluded(const Study& study, const AssaySample& sample);

/// What was left out, for a note: "Pea starch, run 2, replicate 1 (enzyme left out)", at most `most` of them.
std::string leftOutWords(const std::vector<LaboratoryLeftOut>& leftOut, std::size_t most);

/// The reason of an exclusion, or that none is given.
std::string reasonOf(const Exclusion& exclusion);

}  // namespace aftercurve
