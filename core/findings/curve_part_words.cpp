#include <cmath>

#include "core/base/number_text.h"
#include "core/curve/measures.h"
#include "core/findings/adjusted_p.h"
#include "core/findings/curve_part_findings.h"
#include "core/findings/findings.h"
#include "core/findings/narrative.h"

namespace aftercurve {

namespace {

std::string shortNumber(double value) {
    const double size = std::abs(value);
    if (size >= 1e9 || (size > 0.0 && size < 0.01)) {
        return plainNumber(value);
    }
    std::string text = fixedNumber(value, size >= 100.0 ? 1 : 2);
    if (text.starts_with('-')) {
        text.replace(0, 1, "−");
    }
    return text;
}

std::string countText(std::size_t n, const char* one, const char* many) {
    return std::to_string(n) + " " + (n == 1 ? one : many);
}

}  // namespace

std::string partSentence(const Study& study, const Plan& plan, const CurvePartFinding& finding) {
    const auto place = findAnalyte(study, finding.analyte);
    const std::string unit = (place ? study.analytes[*place].unit : std::string{}) + " × min";
    const std::string food = labelOf(study, finding.food);
    const std::string part =
        "From " + plainNumber(finding.fromMin) + " to " + plainNumber(finding.toMin) + " min";
    if (finding.comparator.empty()) {
        if (!finding.area.meanDifference) {
            return part + ", " + food + " has no " + finding.analyte + " curve that counts.";
        }
        return part + ", the mean incremental " + finding.analyte + " area after " + food + " was " +
               shortNumber(*finding.area.meanDifference) + " " + unit + " in " +
               countText(finding.area.n, "subject", "subjects") + ".";
    }
    const PairedT& t = finding.difference;
    const std::string foods = food + " minus " + labelOf(study, finding.comparator);
    if (!t.meanDifference) {
        return part + ", no subject has an incremental " + finding.analyte + " area for both " + food +
               " and " + labelOf(study, finding.comparator) + ".";
    }
    std::string text = part + ", the incremental " + finding.analyte + " area after " + foods + " was " +
                       shortNumber(*t.meanDifference) + " " + unit;
    if (!t.p || !t.ciLow || !t.ciHigh || !t.t || !t.df) {
        return text + " in " + countText(t.n, "subject", "subjects") +
               "; it could not be tested: " + t.absentBecause + ".";
    }
    text += " (" + confidencePercent(plan.alpha) + " % CI " + shortNumber(*t.ciLow) + " to " +
            shortNumber(*t.ciHigh) + "; paired t(" + plainNumber(*t.df) + ") = " + shortNumber(*t.t) + ", " +
            pText(*t.p);
    if (finding.pAdjusted && *finding.pAdjusted != *t.p) {
        text += ", adjusted over foods and parts (" + adjustmentLabel(plan.multiplicity) + ") " +
                pText(*finding.pAdjusted);
    }
    text += "; n = " + std::to_string(t.n) + ").";
    if (finding.pAdjusted.value_or(*t.p) >= plan.alpha) {
        text += " At the " + plainNumber(plan.alpha) +
                " level this does not tell the foods apart in this part; it is not evidence that they are "
                "alike.";
    }
    return text;
}

std::string withinSubjectSentence(const Study& study, const WithinSubjectFinding& finding) {
    const WithinSubject& w = finding.result;
    const std::string what =
        measureLabel(finding.measure) + " of " + finding.analyte + " after " + labelOf(study, finding.food);
    if (!w.sd || !w.df) {
        return what + ": the spread between visits of one subject is not known" +
               (w.absentBecause.empty() ? "" : ": " + w.absentBecause) + ".";
    }
    std::string text = what + ": standard deviation within a subject " + shortNumber(*w.sd) + " " +
                       finding.unit + " (" + countText(w.repeated, "subject", "subjects") + " with " +
                       std::to_string(w.repeats) + " visits, " + plainNumber(*w.df) + " degrees of freedom)";
    if (w.cvRmsPercent && w.cvMeanPercent) {
        text += "; CV " + fixedNumber(*w.cvRmsPercent, 1) + " % as root mean square, " +
                fixedNumber(*w.cvMeanPercent, 1) + " % as mean";
    }
    if (w.repeatabilityLimit) {
        text += "; repeatability limit " + shortNumber(*w.repeatabilityLimit) + " " + finding.unit;
    }
    if (w.intraclass) {
        text += "; intraclass correlation " + fixedNumber(*w.intraclass, 2);
    }
    return text + (w.note.empty() ? "" : " (" + w.note + ")") + ".";
}

}  // namespace aftercurve
