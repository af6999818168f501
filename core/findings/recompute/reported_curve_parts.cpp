#include "core/findings/recompute/parts.h"

namespace aftercurve {

namespace {

/// Number of each part, from 1 on.
std::string partNumber(const Findings& findings, double fromMin) {
    const auto ends = partEnds(findings.plan.curvePlan, findings.plan.windowEndMin);
    std::size_t number = 0;
    for (const double end : ends) {
        number += end <= fromMin ? 1U : 0U;
    }
    return std::to_string(number);
}

void addPart(ReportedRows& rows, const ReportedPlace& place, const CurvePartFinding& finding) {
    const PairedT& d = finding.difference;
    const std::string few = "one subject, or all equal";
    const std::string none = finding.area.n == 0 ? "no curve that counts" : few;
    addNumber(rows, place, "from_min", finding.fromMin);
    addNumber(rows, place, "to_min", finding.toMin);
    addCount(rows, place, "n", finding.area.n);
    addNumber(rows, place, "mean_area", finding.area.meanDifference, none);
    addNumber(rows, place, "sd_area", finding.area.sdDifference, none);
    addNumber(rows, place, "mean_increment", finding.increment.meanDifference, none);
    addNumber(rows, place, "sd_increment", finding.increment.sdDifference, none);
    addNumber(rows, place, "increment_ci_low", finding.increment.ciLow, none);
    addNumber(rows, place, "increment_ci_high", finding.increment.ciHigh, none);
    if (finding.comparator.empty()) {
        return;
    }
    addCount(rows, place, "n_pairs", d.n);
    addNumber(rows, place, "mean_difference", d.meanDifference, d.absentBecause);
    addNumber(rows, place, "sd_difference", d.sdDifference, d.absentBecause);
    addNumber(rows, place, "ci_low", d.ciLow, d.absentBecause);
    addNumber(rows, place, "ci_high", d.ciHigh, d.absentBecause);
    addNumber(rows, place, "t", d.t, d.absentBecause);
    addNumber(rows, place, "df", d.df, d.absentBecause);
    addNumber(rows, place, "p", d.p, d.absentBecause);
    addNumber(rows, place, "p_adjusted", finding.pAdjusted, d.absentBecause);
}

void addWithin(ReportedRows& rows, const StudyNumbers& numbers, const WithinSubjectFinding& finding) {
    const WithinSubject& w = finding.result;
    ReportedPlace place;
    place.table = "within_subject";
    place.analyte = numbers.analyte.at(finding.analyte);
    place.food = numbers.food.at(finding.food);
    place.measure = finding.measure;
    place.row = finding.analyte + ", " + finding.measure + ", " + finding.food;
    const std::string because = w.absentBecause.empty() ? w.note : w.absentBecause;
    addCount(rows, place, "subjects", w.subjects);
    addCount(rows, place, "repeated", w.repeated);
    addCount(rows, place, "visits", w.repeats);
    addNumber(rows, place, "within_sd", w.sd, because);
    addNumber(rows, place, "df", w.df, because);
    addNumber(rows, place, "cv_rms_percent", w.cvRmsPercent, because);
    addNumber(rows, place, "cv_mean_percent", w.cvMeanPercent, because);
    addNumber(rows, place, "between_sd", w.betweenSd, because);
    addNumber(rows, place, "intraclass", w.intraclass, because);
    addNumber(rows, place, "repeatability_limit", w.repeatabilityLimit, because);
    place.table = "within_subject_visits";
    for (const SubjectVisit& visit : finding.visits) {
        place.subject = numbers.subject.at(visit.subject);
        place.visit = visit.visit;
        place.row = finding.analyte + ", " + finding.measure + ", " + visit.subject + ", " + finding.food +
                    ", visit " + std::to_string(visit.visit);
        addNumber(rows, place, "value", visit.value);
        addNumber(rows, place, "subject_mean", visit.subjectMean);
        addNumber(rows, place, "deviation", visit.value - visit.subjectMean);
    }
}

}  // namespace

void addCurveParts(ReportedRows& rows, const StudyNumbers& numbers, const Findings& findings) {
    for (const CurvePart& part : findings.curveParts) {
        const CurveFinding& curve = findings.curves[part.curve];
        ReportedPlace place;
        place.table = "sub_windows_curves";
        place.analyte = numbers.analyte.at(curve.analyte);
        place.food = numbers.food.at(curve.food);
        place.subject = numbers.subject.at(curve.subject);
        place.visit = curve.visit;
        place.item = partNumber(findings, part.fromMin);
        place.row = curve.analyte + ", " + curve.subject + ", " + curve.food + ", visit " +
                    std::to_string(curve.visit) + ", " + partKey(part.fromMin, part.toMin) + " min";
        const WindowPartMeasures& m = part.measures;
        const char* large = "too large to be represented";
        addNumber(rows, place, "from_min", part.fromMin);
        addNumber(rows, place, "to_min", part.toMin);
        addNumber(rows, place, "area", m.area, large);
        addNumber(rows, place, "net_area", m.netArea, large);
        addNumber(rows, place, "mean_increment", m.meanIncrement, large);
        addNumber(rows, place, "mean_concentration", m.meanConcentration, large);
    }
    for (const CurvePartFinding& finding : findings.curvePartFindings) {
        ReportedPlace place;
        place.table = "sub_windows";
        place.analyte = numbers.analyte.at(finding.analyte);
        place.food = numbers.food.at(finding.food);
        place.comparator = finding.comparator.empty() ? 0 : numbers.food.at(finding.comparator);
        place.item = partNumber(findings, finding.fromMin);
        place.row =
            finding.analyte + ", " + finding.food + ", " + partKey(finding.fromMin, finding.toMin) + " min";
        addPart(rows, place, finding);
    }
    for (const WithinSubjectFinding& finding : findings.withinSubject) {
        addWithin(rows, numbers, finding);
    }
}

}  // namespace aftercurve
