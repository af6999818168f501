// The worst scores of all foods and doses in one model of proportional odds.
#include "core/base/number_text.h"
#include "core/findings/rounded_words.h"
#include "core/findings/tables/builders.h"
#include "core/findings/tables/cells.h"
#include "core/findings/tables/tolerance_cells.h"
#include "core/findings/tolerance_ordinal.h"

namespace aftercurve {

namespace {

std::string remarkOf(const ToleranceOrdinalModel& one, std::size_t group) {
    std::string text = effectAbsentBecause(one, group);
    const auto add = [&text](const std::string& more) {
        text += (text.empty() || more.empty() ? "" : "; ") + more;
    };
    add(one.model.note);
    if (one.withoutScore > 0) {
        add(countedWords(one.withoutScore, "missing score") + " left out");
    }
    return text;
}

/// "0: 12; 1: 5".
std::string scoresText(const ToleranceOrdinalModel& one) {
    std::string text;
    for (std::size_t c = 0; c < one.model.counts.size(); ++c) {
        text += (text.empty() ? "" : "; ") + plainNumber(one.values[c]) + ": " +
                std::to_string(one.model.counts[c]);
    }
    return text;
}

void addRow(const Study& study, const ToleranceFindings& tolerance, const ToleranceOrdinalModel& one,
            std::size_t group, Table& table) {
    const DiaryArm& arm = tolerance.runs.arms[one.arms[group]];
    const DiaryArm& comparator = tolerance.runs.arms[one.arms.front()];
    static const OrdinalEffect none;
    const OrdinalEffect* found = effectOf(one, group);
    const OrdinalEffect& effect = found == nullptr ? none : *found;
    const OrdinalMixed& model = one.model;
    Row row = toleranceRow(tolerance, one.quantity, one.arms[group], "ordinal");
    row.muted = !effect.logOdds;
    row.cells = {tolerance.quantities[one.quantity].label,
                 labelOf(study, arm.food),
                 cellOf(arm.doseG),
                 labelOf(study, comparator.food),
                 cellOf(comparator.doseG),
                 cellOf(effect.n),
                 cellOf(oddsOf(effect.logOdds)),
                 cellOf(oddsOf(effect.ciLow)),
                 cellOf(oddsOf(effect.ciHigh)),
                 cellOf(effect.logOdds),
                 cellOf(effect.se),
                 cellOf(effect.z),
                 cellOf(effect.p),
                 cellOf(one.pAdjusted[group - 1]),
                 cellOf(model.n),
                 cellOf(model.subjects),
                 cellOf(scoresText(one)),
                 cellOf(model.subjectSd),
                 cellOf(model.logLikelihood),
                 cellOf(model.likelihoodRatio),
                 model.likelihoodRatio ? Cell{model.df} : Cell{},
                 cellOf(model.p),
                 cellOf(remarkOf(one, group))};
    table.rows.push_back(std::move(row));
}

}  // namespace

Table toleranceOrdinalTable(const Study& study, const Findings& findings) {
    const std::string confidence = confidencePercent(findings.plan.alpha) + " % CI";
    const ToleranceFindings& tolerance = findings.tolerance;
    Table table;
    table.key = "tolerance_ordinal";
    table.title = "Odds of a higher symptom score";
    table.emptyText =
        tolerance.runs.arms.size() == 1 ? "The diary has one food at one dose: nothing to compare." : noDiary;
    table.columns = {
        textColumn("item", "Item", "Worst day of each subject"),
        textColumn("food", "Food"),
        numberColumn("dose_g", "Dose", "g", 1),
        textColumn("comparator", "Compared with"),
        numberColumn("comparator_dose_g", "its dose", "g", 1),
        countColumn("n", "n", "Subjects with a score of the food"),
        numberColumn("odds_ratio", "Odds ratio", "", 2,
                     "exp(log odds ratio): odds of a higher score, within a subject", {"log_odds"}),
        numberColumn("odds_ratio_ci_low", confidence + " from", "", 2, "exp(log odds ratio − z·SE)",
                     {"log_odds", "se"}),
        numberColumn("odds_ratio_ci_high", confidence + " to", "", 2, "exp(log odds ratio + z·SE)",
                     {"log_odds", "se"}),
        numberColumn("log_odds", "Log odds ratio", "", 3, "β of logit P(Y ≤ j) = θ_j − β − u"),
        numberColumn("se", "SE", "", 3, "From the observed information"),
        numberColumn("z", "z", "", 2, "Log odds ratio/SE", {"log_odds", "se"}),
        pColumn("p", "p", "Wald, two-sided", {"z"}),
        pColumn("p_adjusted", "p adjusted", adjustmentOver(findings.plan, "the foods and doses of one item"),
                {"p"}),
        countColumn("scores", "Scores", "In the model, over all foods and doses"),
        countColumn("subjects", "Subjects", "In the model"),
        textColumn("score_counts", "Subjects by score", "score: number, over all foods and doses"),
        numberColumn("subject_sd", "SD of subjects", "", 3,
                     "σ of the subjects' shifts, logits; 0 at its bound"),
        numberColumn("log_likelihood", "log L", "", 3),
        numberColumn("likelihood_ratio", "χ² of all", "", 2,
                     "Likelihood ratio of the model with and without foods and doses", {"log_likelihood"}),
        numberColumn("df_all", "df of all", "", 0, "Foods and doses with scores, less one"),
        pColumn("p_all", "p of all", "Of the likelihood ratio by χ²", {"likelihood_ratio", "df_all"}),
        textColumn("remark", "Remark")};
    for (const ToleranceOrdinalModel& one : tolerance.ordinalModels) {
        for (std::size_t group = 1; group < one.arms.size(); ++group) {
            addRow(study, tolerance, one, group, table);
        }
    }
    if (!table.rows.empty()) {
        table.notes.emplace_back(proportionalOddsCaution);
        table.notes.emplace_back(noEvidence);
    }
    return table;
}

}  // namespace aftercurve
