#include "core/findings/tables/builders.h"
#include "core/findings/tables/cells.h"

namespace aftercurve {

namespace {

std::string keyOf(const WithinSubjectFinding& finding) {
    return finding.analyte + "/" + finding.food + "/" + finding.measure;
}

std::string remarkOf(const WithinSubject& result) {
    return result.absentBecause.empty() ? result.note : result.absentBecause;
}

}  // namespace

Table withinSubjectTable(const Study& study, const Findings& findings) {
    Table table;
    table.key = "within_subject";
    table.title = "Spread within a subject";
    table.emptyText = "No value of the plan's measures yet.";
    table.columns = {
        textColumn("analyte", "Analyte"),
        textColumn("food", "Food"),
        textColumn("measure", "Measure"),
        textColumn("unit", "Unit"),
        countColumn("subjects", "Subjects", "Subjects with a visit that counts"),
        countColumn("repeated", "With repeats", "Subjects with two visits or more"),
        countColumn("visits", "Visits", "Visits of the subjects with two or more"),
        numberColumn("within_sd", "Within-subject SD", "", 2,
                     "√(Σ (value − subject's mean)² / df), over all subjects",
                     {"within_subject_visits.deviation", "df"}),
        numberColumn("df", "df", "", 0, "Σ (visits of a subject − 1)", {"visits", "repeated"}),
        numberColumn(
            "cv_rms_percent", "Within-subject CV, root mean square", "%", 1,
            "√(mean of (100 · SD / mean)² of the subjects with repeats); absent where a mean is not above 0",
            {"within_subject_visits.value"}),
        numberColumn(
            "cv_mean_percent", "Within-subject CV, mean", "%", 1,
            "Mean of 100 · SD / mean of the subjects with repeats; absent where a mean is not above 0",
            {"within_subject_visits.value"}),
        numberColumn(
            "between_sd", "Between-subject SD", "", 2,
            "√((mean square between − within²) / n₀), one-way random model, method of moments; 0 where "
            "that is below 0",
            {"within_subject_visits.value", "within_sd"}),
        numberColumn("intraclass", "Intraclass correlation", "", 2, "Between² / (between² + within²)",
                     {"between_sd", "within_sd"}),
        numberColumn("repeatability_limit", "Repeatability limit", "", 2, "1.96 · √2 · within-subject SD",
                     {"within_sd"}),
        textColumn("remark", "Remark")};
    for (const WithinSubjectFinding& finding : findings.withinSubject) {
        const WithinSubject& w = finding.result;
        Row row;
        row.key = keyOf(finding);
        row.about = {finding.analyte, finding.measure, finding.food, ""};
        row.muted = !w.sd;
        row.cells = {finding.analyte,
                     labelOf(study, finding.food),
                     measureLabel(finding.measure),
                     finding.unit,
                     cellOf(w.subjects),
                     cellOf(w.repeated),
                     cellOf(w.repeats),
                     cellOf(w.sd),
                     cellOf(w.df),
                     cellOf(w.cvRmsPercent),
                     cellOf(w.cvMeanPercent),
                     cellOf(w.betweenSd),
                     cellOf(w.intraclass),
                     cellOf(w.repeatabilityLimit),
                     cellOf(remarkOf(w))};
        table.rows.push_back(std::move(row));
    }
    if (!table.rows.empty()) {
        table.notes = {
            "The repeatability limit is what 95 % of differences between two visits of one subject lie "
            "within, "
            "if the values are normal and every subject scatters alike.",
            "Days, portions and the laboratory all enter: the spread is of whole visits, not of the assay."};
    }
    return table;
}

Table withinSubjectVisitsTable(const Study& study, const Findings& findings) {
    Table table;
    table.key = "within_subject_visits";
    table.title = "Spread within a subject: each visit";
    table.emptyText = "No subject with two visits of one food.";
    table.columns = {
        textColumn("analyte", "Analyte"),
        textColumn("food", "Food"),
        textColumn("measure", "Measure"),
        textColumn("unit", "Unit"),
        textColumn("subject", "Subject"),
        countColumn("visit", "Visit"),
        numberColumn("value", "Value", "", 2, "The measure of this visit"),
        numberColumn("subject_mean", "Subject's mean", "", 2,
                     "Mean over the visits of the subject that count"),
        numberColumn("deviation", "Deviation", "", 2, "Value − subject's mean", {"value", "subject_mean"}),
        textColumn("remark", "Remark")};
    for (const WithinSubjectFinding& finding : findings.withinSubject) {
        for (const SubjectVisit& visit : finding.visits) {
            Row row;
            row.key = keyOf(finding) + "/" + visit.subject + "/" + std::to_string(visit.visit);
            row.about = {finding.analyte, finding.measure, finding.food, visit.subject};
            row.cells = {finding.analyte,
                         labelOf(study, finding.food),
                         measureLabel(finding.measure),
                         finding.unit,
                         visit.subject,
                         static_cast<std::int64_t>(visit.visit),
                         visit.value,
                         visit.subjectMean,
                         visit.value - visit.subjectMean,
                         visit.repeated ? Cell{} : Cell{std::string{"one visit: no spread within"}}};
            table.rows.push_back(std::move(row));
        }
    }
    return table;
}

}  // namespace aftercurve
