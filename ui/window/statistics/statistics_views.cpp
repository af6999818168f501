#include <QCoreApplication>

#include "core/base/number_text.h"
#include "ui/models/text.h"
#include "ui/window/statistics/plan_controls.h"
#include "ui/window/statistics/statistics_view.h"

namespace aftercurve {

namespace {

struct StatisticsText {
    Q_DECLARE_TR_FUNCTIONS(Statistics)
};

QString say(const char* text) {
    return StatisticsText::tr(text);
}

/// A control for one word of the statistics part of the plan.
template <class Rule, class From>
void addRule(PlanControls& controls, const QString& key, const QString& label,
             const std::vector<std::pair<QString, Rule>>& rules, Rule InferencePlan::*member, From from) {
    std::vector<PlanControls::Word> words;
    for (const auto& [text, rule] : rules) {
        words.push_back({text, std::string{wordFor(rule)}});
    }
    controls.addChoice(
        key, label, words,
        [member](const Plan& plan) { return std::string{wordFor(plan.inference.*member)}; },
        [member, from](Plan& plan, const std::string& word) {
            if (const auto rule = from(word)) {
                plan.inference.*member = *rule;
            }
        });
}

void modelControls(PlanControls& controls) {
    addRule<ModelDf>(
        controls, QStringLiteral("df"), say("Degrees of freedom"),
        {{say("Satterthwaite"), ModelDf::satterthwaite}, {say("Kenward–Roger"), ModelDf::kenwardRoger}},
        &InferencePlan::modelDf, modelDfFrom);
    addRule<ModelMultiplicity>(controls, QStringLiteral("adjustment"), say("Adjustment"),
                               {{say("as the comparisons"), ModelMultiplicity::asComparisons},
                                {say("none"), ModelMultiplicity::none},
                                {say("Holm"), ModelMultiplicity::holm},
                                {say("Hochberg"), ModelMultiplicity::hochberg},
                                {say("Benjamini–Hochberg"), ModelMultiplicity::benjaminiHochberg},
                                {say("Tukey, all pairs"), ModelMultiplicity::tukey},
                                {say("Dunnett, against the comparator"), ModelMultiplicity::dunnett}},
                               &InferencePlan::modelMultiplicity, modelMultiplicityFrom);
    addRule<ModelFamily>(
        controls, QStringLiteral("family"), say("Family"),
        {{say("against the comparator"), ModelFamily::comparator}, {say("all pairs"), ModelFamily::allPairs}},
        &InferencePlan::modelFamily, modelFamilyFrom);
    controls.addCheck(
        QStringLiteral("carryOver"), say("first-order carry-over"),
        [](const Plan& plan) { return plan.inference.carryOver; },
        [](Plan& plan, bool on) { plan.inference.carryOver = on; });
}

QString windowsText(const Plan& plan) {
    QStringList windows;
    for (const double window : plan.inference.sensitivityWindowsMin) {
        windows << shown(plainNumber(window));
    }
    return windows.join(QStringLiteral(" "));
}

bool setWindows(Plan& plan, const QString& text) {
    std::vector<double> windows;
    for (const QString& part : text.simplified().split(u' ', Qt::SkipEmptyParts)) {
        bool ok = false;
        windows.push_back(QString(part).replace(u',', u'.').toDouble(&ok));
        if (!ok) {
            return false;
        }
    }
    plan.inference.sensitivityWindowsMin = windows;
    return validate(plan.inference).empty();
}

void sensitivityControls(PlanControls& controls) {
    controls.addCheck(
        QStringLiteral("on"), say("try other choices"),
        [](const Plan& plan) { return plan.inference.sensitivity; },
        [](Plan& plan, bool on) { plan.inference.sensitivity = on; });
    controls.addText(QStringLiteral("windows"), say("Windows beside the plan's, min"),
                     say("Minutes with a space between: 60 90 180"), 18, windowsText, setWindows);
}

std::string tableNote(const Results& results, std::string_view table, std::size_t note) {
    const auto& notes = results.table(table)->notes;
    return note < notes.size() ? notes[note] : std::string{};
}

std::string crossoverWords(const Results& results, std::size_t /*row*/) {
    return tableNote(results, "crossover", 0);
}

std::string sensitivityWords(const Results& results, std::size_t row) {
    const RowSubject& about = results.table("sensitivity")->rows[row].about;
    const auto& all = results.findings.sensitivity;
    for (std::size_t i = 0; i < all.size(); ++i) {
        if (all[i].analyte == about.analyte && all[i].food == about.food) {
            return tableNote(results, "sensitivity", i);
        }
    }
    return {};
}

std::string registeredWords(const Results& results, std::size_t row) {
    const Row& chosen = results.table("plan_registered")->rows[row];
    return tableNote(results, "plan_registered",
                     static_cast<std::size_t>(std::stoul(chosen.key.substr(0, chosen.key.find('/')))));
}

std::string analyteAndMeasure(const Row& row) {
    return row.about.analyte + "/" + row.about.measure + "/";
}

}  // namespace

std::vector<StatisticsView> statisticsViews() {
    return {
        {QStringLiteral("crossover"),
         say("Two periods"),
         "crossover",
         "crossover_subjects",
         say("Sums and differences"),
         {},
         say("No two-period crossover"),
         nullptr,
         crossoverWords,
         analyteAndMeasure},
        {QStringLiteral("model"),
         say("Model"),
         "model",
         "",
         QString(),
         {},
         say("No model"),
         modelControls,
         nullptr,
         nullptr},
        {QStringLiteral("sensitivity"),
         say("Other choices"),
         "sensitivity",
         "",
         QString(),
         {{"sensitivity", say("One choice altered at a time")}},
         say("Nothing tried"),
         sensitivityControls,
         sensitivityWords,
         nullptr},
        {QStringLiteral("registered"),
         say("Plan as registered"),
         "plan_registered",
         "",
         QString(),
         {},
         say("No plan was registered"),
         nullptr,
         registeredWords,
         nullptr},
    };
}

}  // namespace aftercurve
