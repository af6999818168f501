// The tabs of the step Measures, behind the measures of each curve.
#include <QCoreApplication>
#include <algorithm>

#include "core/base/number_text.h"
#include "core/findings/curve_part_findings.h"
#include "core/findings/insulin_findings.h"
#include "ui/models/text.h"
#include "ui/window/statistics/rule_control.h"
#include "ui/window/statistics/statistics_view.h"

namespace aftercurve {

namespace {

struct MeasureText {
    Q_DECLARE_TR_FUNCTIONS(Measures)
};

QString say(const char* text) {
    return MeasureText::tr(text);
}

/// "glucose 7.8, insulin 300"
QString limitsText(const Plan& plan) {
    QStringList texts;
    for (const LevelLimit& limit : plan.curvePlan.limits) {
        texts << shown(limit.analyte + " " + plainNumber(limit.level));
    }
    return texts.join(QStringLiteral("; "));
}

bool setLimits(Plan& plan, const QString& text) {
    std::vector<LevelLimit> limits;
    for (const QString& part : text.split(u';', Qt::SkipEmptyParts)) {
        const QString entry = part.simplified();
        const qsizetype blank = entry.lastIndexOf(u' ');
        bool ok = false;
        const double level = entry.mid(blank + 1).replace(u',', u'.').toDouble(&ok);
        if (blank <= 0 || !ok) {
            return false;
        }
        limits.push_back({plain(entry.left(blank)), level});
    }
    std::sort(limits.begin(), limits.end(),
              [](const LevelLimit& a, const LevelLimit& b) { return a.analyte < b.analyte; });
    plan.curvePlan.limits = std::move(limits);
    return validate(plan.curvePlan).empty();
}

void partControls(PlanControls& controls) {
    controls.addText(
        QStringLiteral("limits"), say("Parts end at, min"), say("Minutes with a space between: 30 60"), 14,
        [](const Plan& plan) { return numbersText(plan.curvePlan.subWindowsMin); },
        [](Plan& plan, const QString& text) {
            return readNumbers(text, plan.curvePlan.subWindowsMin) && validate(plan.curvePlan).empty();
        });
    controls.addText(QStringLiteral("levels"), say("Count the time above"),
                     say("An analyte and a concentration in its unit: glucose 7.8; insulin 300. It makes the "
                         "measure “time above the limit”."),
                     24, limitsText, setLimits);
}

std::string insulinPrefix(const Row& row) {
    return row.key + "/";
}

std::string allNotes(const Table& table) {
    std::string text;
    for (const std::string& note : table.notes) {
        text += (text.empty() ? "" : " ") + note;
    }
    return text;
}

/// The tables here have one row a finding, in the same order.
template <class Findings>
bool isOfRow(const Results& results, const Findings& findings, std::size_t row, std::string_view table) {
    return row < findings.size() && findings.size() == results.table(table)->rows.size();
}

std::string insulinWords(const Results& results, std::size_t row) {
    const auto& summaries = results.findings.insulinSummaries;
    return isOfRow(results, summaries, row, "insulin_summary")
               ? insulinSentence(*results.study, results.findings.plan, summaries[row])
               : allNotes(*results.table("insulin_summary"));
}

std::string partWords(const Results& results, std::size_t row) {
    const auto& parts = results.findings.curvePartFindings;
    return isOfRow(results, parts, row, "sub_windows")
               ? partSentence(*results.study, results.findings.plan, parts[row])
               : allNotes(*results.table("sub_windows"));
}

std::string spreadWords(const Results& results, std::size_t row) {
    const auto& spreads = results.findings.withinSubject;
    return isOfRow(results, spreads, row, "within_subject")
               ? withinSubjectSentence(*results.study, spreads[row])
               : allNotes(*results.table("within_subject"));
}

}  // namespace

std::vector<StatisticsView> measureViews() {
    return {{QStringLiteral("parts"),
             say("Parts of the window"),
             "sub_windows",
             "sub_windows_curves",
             say("Each curve"),
             {{"sub_windows", say("By part"), true}},
             say("No parts"),
             partControls,
             partWords,
             nullptr},
            {QStringLiteral("spread"),
             say("Spread within a subject"),
             "within_subject",
             "within_subject_visits",
             say("Each visit"),
             {{"within_subject", say("Visits of each subject"), true}},
             say("No repeated visits"),
             nullptr,
             spreadWords,
             nullptr},
            {QStringLiteral("insulin"),
             say("Insulin measures"),
             "insulin_summary",
             "insulin_measures",
             say("Each visit"),
             {{"insulin_measures", say("Each subject"), true}},
             say("No insulin measures"),
             nullptr,
             insulinWords,
             insulinPrefix}};
}

}  // namespace aftercurve
