#include "core/base/number_text.h"
#include "core/findings/tables/builders.h"
#include "core/findings/tables/cells.h"
#include "core/index/index_standards.h"

namespace aftercurve {

namespace {

std::string emptyTextFor(const Findings& findings) {
    return findings.plan.index ? "No index: give one food the role \"reference\" in study.json."
                               : "No index: the plan does not ask for it (\"index\": false in study.json, or "
                                 "the plan line above).";
}

std::string classExplanation(IndexStandard standard) {
    const std::string title{rulesOf(standard).title};
    const std::string words{indexClassWords(standard)};
    return words.empty() ? title + " has no classes" : title + ", " + words;
}

}  // namespace

Table indexTable(const Study& study, const Findings& findings) {
    const std::string confidence = confidencePercent(findings.plan.alpha) + " % CI";
    Table table;
    table.key = "index";
    table.title = "Index of each food";
    table.emptyText = emptyTextFor(findings);
    table.columns = {textColumn("analyte", "Analyte"),
                     textColumn("food", "Food"),
                     textColumn("reference", "Reference food"),
                     textColumn("measure", "From"),
                     countColumn("n", "n", "Subjects with a value"),
                     numberColumn("mean", "Index", "", 1,
                                  "Mean over subjects of 100 × food / mean of the reference visits",
                                  {"n", "index_subjects.value"}),
                     numberColumn("sd", "SD", "", 1, "√(Σ (value − mean)² / (n − 1)) of the subjects kept",
                                  {"n", "mean", "index_subjects.value"}),
                     numberColumn("sem", "SEM", "", 1, "SD / √n", {"sd", "n"}),
                     numberColumn("ci_low", confidence + " from", "", 1, "Mean − t · SEM, t with n − 1 df",
                                  {"mean", "sem", "n"}),
                     numberColumn("ci_high", confidence + " to", "", 1, "Mean + t · SEM, t with n − 1 df",
                                  {"mean", "sem", "n"}),
                     textColumn("class", "Class", classExplanation(findings.plan.indexPlan.standard)),
                     numberColumn("reference_cv_percent", "CV of the reference", "%", 1,
                                  "Mean within-subject CV of the reference visits"),
                     textColumn("remark", "Remark")};
    for (const IndexFinding& finding : findings.index) {
        const FoodIndex& index = finding.index;
        Row row;
        row.key = finding.analyte + "/" + finding.food;
        row.about = {finding.analyte, finding.measure, finding.food, ""};
        row.muted = !index.mean;
        row.cells = {finding.analyte,
                     labelOf(study, finding.food),
                     labelOf(study, finding.reference),
                     measureLabel(finding.measure),
                     cellOf(index.n),
                     cellOf(index.mean),
                     cellOf(index.sd),
                     cellOf(index.sem),
                     cellOf(index.ciLow),
                     cellOf(index.ciHigh),
                     finding.indexClass ? Cell{*finding.indexClass} : Cell{},
                     cellOf(index.referenceCvPercent),
                     cellOf(index.absentBecause)};
        table.rows.push_back(std::move(row));
    }
    return table;
}

Table indexSubjectsTable(const Study& study, const Findings& findings) {
    Table table;
    table.key = "index_subjects";
    table.title = "Index of each subject";
    table.emptyText = emptyTextFor(findings);
    table.columns = {textColumn("analyte", "Analyte"),
                     textColumn("food", "Food"),
                     textColumn("subject", "Subject"),
                     numberColumn("value", "Index", "", 1, "100 × food / mean of the reference visits",
                                  {"food_mean", "reference_mean"}),
                     textColumn("outlier", "Outside 2 SD", "Outside mean ± 2 SD of the subjects"),
                     textColumn("left_out", "Left out"),
                     numberColumn("food_mean", "With the food", "", 2, "Mean of the measure over the visits"),
                     numberColumn("reference_mean", "With the reference", "", 2,
                                  "Mean of the measure over the visits with the reference food"),
                     textColumn("absent_because", "Absent because")};
    for (const IndexFinding& finding : findings.index) {
        for (const SubjectIndex& subject : finding.index.subjects) {
            Row row;
            row.key = finding.analyte + "/" + finding.food + "/" + subject.subject;
            row.about = {finding.analyte, finding.measure, finding.food, subject.subject};
            row.muted = subject.leftOut || !subject.value;
            row.cells = {
                finding.analyte,          labelOf(study, finding.food),  subject.subject,
                cellOf(subject.value),    yesOrNothing(subject.outlier), yesOrNothing(subject.leftOut),
                cellOf(subject.testMean), cellOf(subject.referenceMean), cellOf(subject.absentBecause)};
            table.rows.push_back(std::move(row));
        }
    }
    return table;
}

}  // namespace aftercurve
