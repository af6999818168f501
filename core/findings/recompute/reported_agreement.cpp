#include "core/findings/recompute/parts.h"

namespace aftercurve {

void addAgreement(ReportedRows& rows, const StudyNumbers& numbers, const Findings& findings) {
    for (const AgreementFinding& finding : findings.agreement) {
        ReportedPlace place;
        place.table = "agreement";
        place.row =
            finding.analyte + ", " + finding.measure + ", " + finding.food + " against " + finding.comparator;
        place.analyte = numbers.analyte.at(finding.analyte);
        place.measure = finding.measure;
        place.food = numbers.food.at(finding.food);
        place.comparator = numbers.food.at(finding.comparator);
        const Agreement& limits = finding.limits;
        const auto add = [&](std::string_view quantity, const std::optional<double>& value) {
            addNumber(rows, place, quantity, value, limits.absentBecause);
        };
        add("lower_limit", limits.lowerLimit);
        add("lower_limit_low", limits.lowerLimitLow);
        add("lower_limit_high", limits.lowerLimitHigh);
        add("upper_limit", limits.upperLimit);
        add("upper_limit_low", limits.upperLimitLow);
        add("upper_limit_high", limits.upperLimitHigh);
        const std::string row = place.row;
        place.table = "agreement_subjects";
        for (const AgreementPoint& point : finding.points) {
            place.subject = numbers.subject.at(point.subject);
            place.row = row + ", " + point.subject;
            addNumber(rows, place, "mean", point.mean);
        }
    }
}

}  // namespace aftercurve
