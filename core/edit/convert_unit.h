#pragma once

#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "core/base/result.h"
#include "core/edit/edit.h"
#include "core/study/study.h"

namespace aftercurve {

/// Which values were typed in another unit. A field left empty matches all.
struct UnitScope {
    std::string analyte;
    std::string subject;
    std::string food;
    std::optional<int> visit;
    std::string file;  ///< name of a samples file

    bool operator==(const UnitScope&) const = default;
};

/// The changes that bring the values of `scope`, which stand in the study as if they were in the analyte's
/// unit but were typed in `typedIn`, to that unit: value × factor(typedIn → unit), limits of quantification
/// too. Cells that cannot be used stay. Fails where the analyte or a unit is not known, the two are the same,
/// or no value is concerned. `pmolPerUiu` as in ConversionOptions.
Result<std::vector<Change>> unitChanges(const Study& study, const UnitScope& scope, std::string_view typedIn,
                                        double pmolPerUiu = 6.00);

}  // namespace aftercurve
