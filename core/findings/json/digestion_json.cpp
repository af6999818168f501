#include "core/findings/json/json_parts.h"
#include "core/findings/tables/builders.h"

namespace aftercurve {

Json digestionJson(const Findings& findings) {
    // Built without the study, so that what stands there are ids.
    const Study nameless;
    const DigestionFindings& digestion = findings.digestion;
    if (digestion.bySample.empty()) {
        return nullptr;
    }
    return {{"rapid_cut_min", digestion.cuts.rapidMin},
            {"slow_cut_min", digestion.cuts.slowMin},
            {"last_min", orNull(digestion.cuts.lastMin)},
            {"area_until_min", orNull(digestion.untilMin)},
            {"basis", wordFor(digestion.basis)},
            {"reference", textOrNull(digestion.reference)},
            {"fractions", tableRowsJson(digestionFractionsTable(nameless, findings))},
            {"fits", tableRowsJson(digestionFitsTable(nameless, findings))},
            {"slopes", tableRowsJson(digestionSlopesTable(nameless, findings))},
            {"index", tableRowsJson(digestionIndexTable(nameless, findings))},
            {"comparisons", tableRowsJson(digestionComparisonsTable(nameless, findings))},
            {"readings", tableRowsJson(digestionReadingsTable(nameless, findings))},
            {"excluded", leftOutJson(digestion.excluded)},
            {"caution", estimateCaution()}};
}

}  // namespace aftercurve
