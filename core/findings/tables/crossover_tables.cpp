#include <array>

#include "core/base/number_text.h"
#include "core/findings/tables/builders.h"
#include "core/findings/tables/cells.h"

namespace aftercurve {

namespace {

struct Effect {
    const char* key;
    const char* label;
    const char* formula;  ///< empty: the two foods by name
    const CrossoverEffect& (*of)(const Crossover& result);
};

constexpr std::array effects{
    Effect{"food", "Food", "", [](const Crossover& c) -> const CrossoverEffect& { return c.treatment; }},
    Effect{"period", "Period", "period 1 − period 2",
           [](const Crossover& c) -> const CrossoverEffect& { return c.period; }},
    Effect{"carry_over", "Carry-over", "sum of both periods, food first − comparator first",
           [](const Crossover& c) -> const CrossoverEffect& { return c.carryOver; }},
};

std::string sequenceText(const Study& study, const CrossoverFinding& finding, CrossoverSequence sequence) {
    const std::string food = labelOf(study, finding.food);
    const std::string comparator = labelOf(study, finding.comparator);
    return sequence == CrossoverSequence::ab ? food + ", then " + comparator : comparator + ", then " + food;
}

const char* const noCrossover =
    "No two-period crossover: it has two foods, and each visit is in period 1 or 2.";

}  // namespace

Table crossoverTable(const Study& study, const Findings& findings) {
    const std::string confidence = confidencePercent(findings.plan.alpha) + " % CI";
    Table table;
    table.key = "crossover";
    table.title = "Two-period crossover";
    table.emptyText = noCrossover;
    table.columns = {
        textColumn("analyte", "Analyte"),
        textColumn("measure", "Measure"),
        textColumn("unit", "Unit"),
        textColumn("effect", "Effect"),
        textColumn("contrast", "Contrast", "What is subtracted from what"),
        countColumn("n_food_first", "n food first"),
        countColumn("n_comparator_first", "n comparator first"),
        numberColumn("estimate", "Estimate", "", 2,
                     "Food: half the difference between the sequences' mean differences; period: half "
                     "their sum; carry-over: difference of the sequences' mean sums"),
        numberColumn("se", "SE", "", 2, "From the variance pooled within sequences",
                     {"n_food_first", "n_comparator_first"}),
        numberColumn("ci_low", confidence + " from", "", 2, "Estimate − t(1 − α/2; df) · SE",
                     {"estimate", "se", "df"}),
        numberColumn("ci_high", confidence + " to", "", 2, "Estimate + t(1 − α/2; df) · SE",
                     {"estimate", "se", "df"}),
        numberColumn("t", "t", "", 2, "Estimate / SE", {"estimate", "se"}),
        numberColumn("df", "df", "", 0, "n food first + n comparator first − 2",
                     {"n_food_first", "n_comparator_first"}),
        pColumn("p", "p", "P(|T| ≥ |t|), two-sided; hypothesis: the effect is 0", {"t", "df"}),
        textColumn("remark", "Remark")};
    for (const CrossoverFinding& finding : findings.crossovers) {
        for (const Effect& effect : effects) {
            const CrossoverEffect& e = effect.of(finding.result);
            Row row;
            row.key = finding.analyte + "/" + finding.measure + "/" + effect.key;
            row.muted = !e.p;
            row.about = {finding.analyte, finding.measure, finding.food, ""};
            row.cells = {finding.analyte,
                         measureLabel(finding.measure),
                         finding.unit,
                         std::string{effect.label},
                         *effect.formula == '\0'
                             ? labelOf(study, finding.food) + " − " + labelOf(study, finding.comparator)
                             : std::string{effect.formula},
                         cellOf(finding.result.subjectsAb),
                         cellOf(finding.result.subjectsBa),
                         cellOf(e.estimate),
                         cellOf(e.se),
                         cellOf(e.ciLow),
                         cellOf(e.ciHigh),
                         cellOf(e.t),
                         cellOf(e.df),
                         cellOf(e.p),
                         cellOf(e.absentBecause.empty() ? finding.result.note : e.absentBecause)};
            table.rows.push_back(std::move(row));
        }
    }
    if (!table.rows.empty()) {
        table.notes = {
            "The carry-over test compares subjects with each other and has little power; it is for the "
            "reader, "
            "and the analysis is never chosen by it: testing carry-over first and then using period 1 alone "
            "rejects a true hypothesis too often. The washout is what protects.",
            "A subject without a value in both periods is left out here; the mixed model keeps what it has.",
            "A p above the level is no evidence that two foods are alike; read the interval."};
    }
    return table;
}

Table crossoverSubjectsTable(const Study& study, const Findings& findings) {
    Table table;
    table.key = "crossover_subjects";
    table.title = "Two-period crossover: sums and differences";
    table.emptyText = noCrossover;
    table.columns = {textColumn("analyte", "Analyte"),
                     textColumn("measure", "Measure"),
                     textColumn("unit", "Unit"),
                     textColumn("subject", "Subject"),
                     textColumn("sequence", "Sequence"),
                     numberColumn("period_1", "Period 1", "", 2),
                     numberColumn("period_2", "Period 2", "", 2),
                     numberColumn("sum", "Sum", "", 2, "Period 1 + period 2; the carry-over test reads it"),
                     numberColumn("difference", "Difference", "", 2,
                                  "Period 1 − period 2; the tests of food and period read it"),
                     textColumn("remark", "Remark")};
    for (const CrossoverFinding& finding : findings.crossovers) {
        const auto begin = [&](const std::string& subject) {
            Row row;
            row.key = finding.analyte + "/" + finding.measure + "/" + subject;
            row.about = {finding.analyte, finding.measure, "", subject};
            row.cells = {finding.analyte, measureLabel(finding.measure), finding.unit, subject};
            return row;
        };
        for (const CrossoverRow& subject : finding.result.rows) {
            Row row = begin(subject.subject);
            row.cells.insert(row.cells.end(), {Cell{sequenceText(study, finding, subject.sequence)},
                                               Cell{subject.period1}, Cell{subject.period2},
                                               cellOf(subject.sum), cellOf(subject.difference), Cell{}});
            table.rows.push_back(std::move(row));
        }
        for (const CrossoverLeftOut& left : finding.result.leftOut) {
            Row row = begin(left.subject);
            row.muted = true;
            row.cells.resize(table.columns.size());
            row.cells.back() = "left out: " + left.reason;
            table.rows.push_back(std::move(row));
        }
    }
    return table;
}

}  // namespace aftercurve
