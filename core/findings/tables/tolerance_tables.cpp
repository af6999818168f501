// Scores of the diaries: by subject, by food, by category, and the days that are missing.
#include "core/base/number_text.h"
#include "core/findings/tables/builders.h"
#include "core/findings/tables/cells.h"
#include "core/findings/tables/tolerance_cells.h"

namespace aftercurve {

namespace {

std::string joined(const std::vector<std::string>& notes, const std::string& first) {
    std::string text = first;
    for (const std::string& note : notes) {
        text += (text.empty() ? "" : "; ") + note;
    }
    return text;
}

Cell yesNo(const std::optional<bool>& answer) {
    return answer ? Cell{std::string{*answer ? "yes" : "no"}} : Cell{};
}

std::string remarkOf(const DiaryScore& score) {
    const bool ofArea = score.absentBecause.empty() && !score.areaAbsentBecause.empty();
    return joined(score.notes, ofArea ? "no area: " + score.areaAbsentBecause : score.absentBecause);
}

std::string daysText(const std::vector<int>& days) {
    std::string text;
    for (std::size_t first = 0; first < days.size();) {
        std::size_t last = first;
        while (last + 1 < days.size() && days[last + 1] == days[last] + 1) {
            ++last;
        }
        text += (text.empty() ? "" : ", ") + std::to_string(days[first]);
        if (last > first) {
            text += "–" + std::to_string(days[last]);
        }
        first = last + 1;
    }
    return text;
}

}  // namespace

Table toleranceScoresTable(const Study& study, const Findings& findings) {
    const ToleranceFindings& tolerance = findings.tolerance;
    Table table;
    table.key = "tolerance_scores";
    table.title = "Symptom scores of each subject";
    table.emptyText = noDiary;
    table.columns = {
        textColumn("item", "Item"),
        textColumn("food", "Food"),
        numberColumn("dose_g", "Dose", "g", 1),
        textColumn("subject", "Subject"),
        countColumn("days_planned", "Planned days"),
        countColumn("days_scored", "Days with a score"),
        numberColumn("worst", "Worst day", "", 2, "Largest score of the days present"),
        numberColumn("mean", "Mean", "", 2, "Mean over the days present"),
        numberColumn("area", "Area", "score × days", 2,
                     "Linear trapezoid over the day numbers, first to last planned day"),
        textColumn("any", "Any", "A score above the least of the scale on one day or more"),
        textColumn("marked", "Marked", "A score at or above the item's threshold on one day or more"),
        numberColumn("loose_percent", "Loose stools", "% of days", 1,
                     "100 · days with form 6 or 7 / days with a form"),
        numberColumn("hard_percent", "Hard stools", "% of days", 1,
                     "100 · days with form 1 or 2 / days with a form"),
        textColumn("remark", "Remark")};
    for (const DiaryScore& score : tolerance.scores) {
        const DiaryArm& arm = tolerance.runs.arms[score.arm];
        Row row = toleranceRow(tolerance, score.quantity, score.arm, score.subject);
        row.about.subject = score.subject;
        row.file = score.row > 0 ? study.diary.file : std::string{};
        row.row = score.row;
        row.muted = !score.absentBecause.empty();
        row.cells = {tolerance.quantities[score.quantity].label,
                     labelOf(study, arm.food),
                     cellOf(arm.doseG),
                     score.subject,
                     cellOf(score.planned),
                     cellOf(score.scored),
                     cellOf(score.worst),
                     cellOf(score.mean),
                     cellOf(score.area),
                     yesNo(score.any),
                     yesNo(score.marked),
                     cellOf(score.loosePercent),
                     cellOf(score.hardPercent),
                     cellOf(remarkOf(score))};
        table.rows.push_back(std::move(row));
    }
    if (!table.rows.empty()) {
        table.notes.emplace_back(
            "Missing days are not filled in: a worst score and a 'no' rest on the days present.");
        table.notes.emplace_back(
            study.diary.prorate
                ? "Composite: sum of its items; where an item is missing and half of them or more are there, "
                  "the "
                  "sum is scaled up to all items."
                : "Composite: sum of its items; a day on which one of them is missing has no composite.");
    }
    return table;
}

Table toleranceSummaryTable(const Study& study, const Findings& findings) {
    const ToleranceFindings& tolerance = findings.tolerance;
    const std::string confidence = confidencePercent(findings.plan.alpha) + " % CI";
    Table table;
    table.key = "tolerance_summary";
    table.title = "Symptom scores of each food";
    table.emptyText = noDiary;
    const std::vector<std::string> values{"tolerance_scores.worst", "tolerance_scores.mean",
                                          "tolerance_scores.area"};
    table.columns = {textColumn("item", "Item"),
                     textColumn("measure", "Measure"),
                     textColumn("food", "Food"),
                     numberColumn("dose_g", "Dose", "g", 1),
                     countColumn("n", "n", "Subjects with a value"),
                     numberColumn("median", "Median", "", 2, "Middle value of the subjects", values),
                     numberColumn("lower_quartile", "Lower quartile", "", 2,
                                  "Linear interpolation of order statistics", values),
                     numberColumn("upper_quartile", "Upper quartile", "", 2,
                                  "Linear interpolation of order statistics", values),
                     numberColumn("largest", "Largest", "", 2, "Largest value of the subjects", values),
                     numberColumn("mean", "Mean", "", 2, "Mean over the subjects", values),
                     numberColumn("sd", "SD", "", 2, "Sample standard deviation, n − 1", values),
                     numberColumn("ci_low", confidence + " from", "", 2, "Mean − t(1 − α/2; n − 1) · SD/√n",
                                  {"mean", "sd", "n"}),
                     numberColumn("ci_high", confidence + " to", "", 2, "Mean + t(1 − α/2; n − 1) · SD/√n",
                                  {"mean", "sd", "n"}),
                     textColumn("remark", "Remark")};
    for (const ToleranceSummary& summary : tolerance.summaries) {
        const DiaryArm& arm = tolerance.runs.arms[summary.arm];
        const DiaryMeasureKind& kind = kindOf(summary.measure);
        Row row = toleranceRow(tolerance, summary.quantity, summary.arm, std::string{kind.key});
        row.muted = summary.mean.n == 0;
        row.cells = {tolerance.quantities[summary.quantity].label,
                     std::string{kind.label},
                     labelOf(study, arm.food),
                     cellOf(arm.doseG),
                     cellOf(summary.mean.n),
                     cellOf(summary.median),
                     cellOf(summary.lowerQuartile),
                     cellOf(summary.upperQuartile),
                     cellOf(summary.largest),
                     cellOf(summary.mean.meanDifference),
                     cellOf(summary.mean.sdDifference),
                     cellOf(summary.mean.ciLow),
                     cellOf(summary.mean.ciHigh),
                     summary.mean.ciLow ? Cell{} : Cell{intervalRemark(summary.mean)}};
        table.rows.push_back(std::move(row));
    }
    if (!table.rows.empty()) {
        table.notes.emplace_back(
            "Scores are ordinal: read the median and the quartiles first; the mean and its interval by t are "
            "a "
            "rough guide on a short scale.");
    }
    return table;
}

Table toleranceCategoriesTable(const Study& study, const Findings& findings) {
    const ToleranceFindings& tolerance = findings.tolerance;
    Table table;
    table.key = "tolerance_categories";
    table.title = "Subjects and days by score";
    table.emptyText = noDiary;
    table.columns = {
        textColumn("item", "Item"),
        textColumn("food", "Food"),
        numberColumn("dose_g", "Dose", "g", 1),
        countColumn("score", "Score"),
        countColumn("subjects", "Subjects", "Subjects whose worst day had this score"),
        numberColumn("subjects_percent", "Subjects", "%", 1, "100 · subjects / subjects with a score",
                     {"subjects"}),
        countColumn("days", "Days", "Days of all subjects with this score"),
        numberColumn("days_percent", "Days", "%", 1, "100 · days / days with a score", {"days"})};
    const auto percent = [](std::size_t part, std::size_t whole) {
        return whole == 0 ? Cell{} : Cell{100.0 * static_cast<double>(part) / static_cast<double>(whole)};
    };
    for (const ToleranceCategories& categories : tolerance.categories) {
        const DiaryArm& arm = tolerance.runs.arms[categories.arm];
        for (std::size_t i = 0; i < categories.subjects.size(); ++i) {
            const int score = categories.least + static_cast<int>(i);
            Row row = toleranceRow(tolerance, categories.quantity, categories.arm, std::to_string(score));
            row.cells = {tolerance.quantities[categories.quantity].label,
                         labelOf(study, arm.food),
                         cellOf(arm.doseG),
                         static_cast<std::int64_t>(score),
                         cellOf(categories.subjects[i]),
                         percent(categories.subjects[i], categories.subjectCount),
                         cellOf(categories.days[i]),
                         percent(categories.days[i], categories.dayCount)};
            table.rows.push_back(std::move(row));
        }
    }
    if (!table.rows.empty()) {
        table.notes.emplace_back(
            "Days of one subject are alike: their percentages describe, and no test counts them as "
            "independent.");
    }
    return table;
}

Table diaryMissingTable(const Study& study, const Findings& findings) {
    const ToleranceFindings& tolerance = findings.tolerance;
    Table table;
    table.key = "diary_missing";
    table.title = "Missing diary days";
    table.emptyText = tolerance.runs.runs.empty() ? noDiary : "Every planned diary day has an entry.";
    table.columns = {textColumn("subject", "Subject"),
                     textColumn("food", "Food"),
                     numberColumn("dose_g", "Dose", "g", 1),
                     countColumn("period", "Period"),
                     countColumn("days_planned", "Planned days"),
                     countColumn("days_present", "Days with an entry"),
                     countColumn("days_missing", "Missing days"),
                     textColumn("missing", "Which")};
    for (const DiaryRun& run : tolerance.runs.runs) {
        if (run.missing.empty()) {
            continue;
        }
        const DiaryArm& arm = tolerance.runs.arms[run.arm];
        Row row;
        row.key = std::to_string(run.arm) + "/" + run.subject + "/" + std::to_string(run.period);
        row.about = {"", "", arm.food, run.subject};
        row.file = run.row > 0 ? study.diary.file : std::string{};
        row.row = run.row;
        row.cells = {run.subject,
                     labelOf(study, arm.food),
                     cellOf(arm.doseG),
                     run.period > 0 ? Cell{static_cast<std::int64_t>(run.period)} : Cell{},
                     cellOf(run.planned()),
                     cellOf(run.days.size()),
                     cellOf(run.missing.size()),
                     daysText(run.missing)};
        table.rows.push_back(std::move(row));
    }
    if (!table.rows.empty()) {
        table.notes.emplace_back(
            "No day is filled in. Days may be missing because of the symptoms themselves; the scores of such "
            "a "
            "subject then look too mild.");
    }
    return table;
}

}  // namespace aftercurve
