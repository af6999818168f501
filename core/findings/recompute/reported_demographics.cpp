#include "core/findings/demographics.h"
#include "core/findings/recompute/parts.h"

namespace aftercurve {

void addDemographics(ReportedRows& rows, const StudyNumbers& /*numbers*/, const Findings& findings) {
    for (const DemographicsFinding& finding : findings.demographics) {
        ReportedPlace place;
        place.table = "demographics";
        place.item = finding.groupKey + "/" + finding.characteristic +
                     (finding.levelNumber > 0 ? std::to_string(finding.levelNumber) : "");
        place.row = place.item;
        addCount(rows, place, "n", finding.n);
        addCount(rows, place, "missing", finding.missing);
        if (finding.characteristic == "subjects" || finding.characteristic == "sex") {
            addNumber(rows, place, "percent", finding.percent, "not given of any subject of the group");
            continue;
        }
        const char* few = finding.n == 0 ? "no value" : "fewer than 2 values";
        addNumber(rows, place, "mean", finding.mean, few);
        addNumber(rows, place, "sd", finding.sd, few);
        addNumber(rows, place, "median", finding.median, few);
        addNumber(rows, place, "lower_quartile", finding.lowerQuartile, few);
        addNumber(rows, place, "upper_quartile", finding.upperQuartile, few);
        addNumber(rows, place, "minimum", finding.minimum, few);
        addNumber(rows, place, "maximum", finding.maximum, few);
    }
}

}  // namespace aftercurve
