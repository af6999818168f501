#include <QCoreApplication>

#include "core/curve/measures.h"
#include "ui/models/text.h"
#include "ui/window/edit/reason_dialog.h"
#include "ui/window/statistics/rule_control.h"
#include "ui/window/statistics/statistics_view.h"

namespace aftercurve {

namespace {

struct StatisticsText {
    Q_DECLARE_TR_FUNCTIONS(Statistics)
};

QString say(const char* text) {
    return StatisticsText::tr(text);
}

void modelControls(PlanControls& controls) {
    addRule<ModelDf>(
        controls, QStringLiteral("df"), say("Degrees of freedom"),
        {{say("Satterthwaite"), ModelDf::satterthwaite}, {say("Kenward–Roger"), ModelDf::kenwardRoger}},
        &Plan::inference, &InferencePlan::modelDf, modelDfFrom);
    addRule<ModelMultiplicity>(controls, QStringLiteral("adjustment"), say("Adjustment"),
                               {{say("as the comparisons"), ModelMultiplicity::asComparisons},
                                {say("none"), ModelMultiplicity::none},
                                {say("Holm"), ModelMultiplicity::holm},
                                {say("Hochberg"), ModelMultiplicity::hochberg},
                                {say("Benjamini–Hochberg"), ModelMultiplicity::benjaminiHochberg},
                                {say("Tukey, all pairs"), ModelMultiplicity::tukey},
                                {say("Dunnett, against the comparator"), ModelMultiplicity::dunnett}},
                               &Plan::inference, &InferencePlan::modelMultiplicity, modelMultiplicityFrom);
    addRule<DifferenceFamily>(controls, QStringLiteral("family"), say("Family"),
                              {{say("against the comparator"), DifferenceFamily::comparator},
                               {say("all pairs"), DifferenceFamily::allPairs}},
                              &Plan::inference, &InferencePlan::modelFamily, differenceFamilyFrom);
    controls.addCheck(
        QStringLiteral("carryOver"), say("first-order carry-over"),
        [](const Plan& plan) { return plan.inference.carryOver; },
        [](Plan& plan, bool on) { plan.inference.carryOver = on; });
}

void timeCourseControls(PlanControls& controls) {
    addRule<TimeCourseModel>(controls, QStringLiteral("covariance"), say("Values of one curve"),
                             {{say("correlated, the closer the more (AR 1)"), TimeCourseModel::ar1},
                              {say("independent"), TimeCourseModel::independent},
                              {say("unstructured"), TimeCourseModel::unstructured},
                              {say("no time course"), TimeCourseModel::none}},
                             &Plan::inference, &InferencePlan::timeCourse, timeCourseModelFrom);
    addRule<CurveValue>(controls, QStringLiteral("value"), say("At each time"),
                        {{say("increment over baseline"), CurveValue::increment},
                         {say("concentration"), CurveValue::concentration}},
                        &Plan::inference, &InferencePlan::timeCourseValue, curveValueFrom);
}

void sensitivityControls(PlanControls& controls) {
    controls.addCheck(
        QStringLiteral("on"), say("try other choices"),
        [](const Plan& plan) { return plan.inference.sensitivity; },
        [](Plan& plan, bool on) { plan.inference.sensitivity = on; });
    controls.addText(
        QStringLiteral("windows"), say("Windows beside the plan's, min"),
        say("Minutes with a space between: 60 90 180"), 18,
        [](const Plan& plan) { return numbersText(plan.inference.sensitivityWindowsMin); },
        [](Plan& plan, const QString& text) {
            return readNumbers(text, plan.inference.sensitivityWindowsMin) &&
                   validate(plan.inference).empty();
        });
}

void companionControls(PlanControls& controls) {
    controls.addNumber(
        QStringLiteral("trim"), say("Trim at each end"), say("A share from 0 to below 0.5, usually 0.2"),
        [](const Plan& plan) { return std::optional(plan.inference.trim); },
        [](Plan& plan, std::optional<double> value) { plan.inference.trim = *value; }, false);
    controls.addText(
        QStringLiteral("resamples"), say("Resamples"), say("0: none; else 199 to 1000000"), 9,
        [](const Plan& plan) { return QString::number(plan.resamples); },
        [](Plan& plan, const QString& text) {
            bool ok = false;
            plan.resamples = text.trimmed().toLongLong(&ok);
            return ok && plan.resamples >= 0 && plan.resamples <= 10'000'000;
        });
    controls.addText(
        QStringLiteral("seed"), say("Seed"), say("A whole number: the same seed, the same result"), 12,
        [](const Plan& plan) { return QString::number(plan.seed); },
        [](Plan& plan, const QString& text) {
            bool ok = false;
            plan.seed = text.trimmed().toULongLong(&ok);
            return ok;
        });
}

void marginControls(PlanControls& controls) {
    controls.addStudyChoice(
        QStringLiteral("analyte"), say("Margins of"),
        [](const Study& study) {
            std::vector<PlanControls::Word> words;
            for (const Analyte& analyte : study.analytes) {
                words.push_back(
                    {shown(analyte.id), analyte.id == study.analytes.front().id ? "" : analyte.id});
            }
            return words;
        },
        [](const Plan& plan) { return plan.inference.margins.analyte; },
        [](Plan& plan, const std::string& id) { plan.inference.margins.analyte = id; });
    const auto add = [&controls](const char* key, const QString& label, const QString& tip,
                                 std::optional<double> MarginPlan::*member) {
        controls.addNumber(
            QLatin1String(key), label, tip,
            [member](const Plan& plan) { return plan.inference.margins.*member; },
            [member](Plan& plan, std::optional<double> value) { plan.inference.margins.*member = value; },
            true);
    };
    add("differenceLow", say("Difference from"), say("Below 0, in the unit of the main measure; empty: none"),
        &MarginPlan::differenceLow);
    add("differenceHigh", say("to"), say("Above 0, in the unit of the main measure; empty: none"),
        &MarginPlan::differenceHigh);
    add("ratioLow", say("Ratio from"), say("Between 0 and 1, such as 0.8; empty: none"),
        &MarginPlan::ratioLow);
    add("ratioHigh", say("to"), say("Above 1, such as 1.25; empty: none"), &MarginPlan::ratioHigh);
    add("nonInferiority", say("Non-inferiority margin"),
        say("Largest change for the worse, above 0, in the unit of the main measure; empty: none"),
        &MarginPlan::nonInferiority);
    controls.addChoice(
        QStringLiteral("better"), say("Better is"), {{say("lower"), "lower"}, {say("higher"), "higher"}},
        [](const Plan& plan) { return std::string{wordFor(plan.inference.margins.better)}; },
        [](Plan& plan, const std::string& word) {
            plan.inference.margins.better = betterValueFrom(word).value_or(BetterValue::lower);
        });
}

/// The note of a table that stands for the comparison of a row.
std::string influenceWords(const Results& results, std::size_t row) {
    const RowSubject& about = results.table("influence")->rows[row].about;
    const auto& all = results.findings.companions.comparisons;
    for (std::size_t i = 0; i < all.size(); ++i) {
        if (all[i].analyte == about.analyte && all[i].measure == about.measure && all[i].food == about.food) {
            const auto& notes = results.table("influence")->notes;
            return i < notes.size() ? notes[i] : std::string{};
        }
    }
    return {};
}

void registeredControls(PlanControls& controls) {
    controls.addButton(QStringLiteral("register"), say("Register the plan…"), askToRegister);
}

std::string crossoverWords(const Results& results, std::size_t /*row*/) {
    return tableNote(results, "crossover", 0);
}

/// The first note of a table that speaks of the row's analyte (and measure).
std::string noteOn(const Results& results, std::string_view table, std::size_t row) {
    const auto shownTable = results.table(table);
    const RowSubject& about = shownTable->rows[row].about;
    const std::string begin = about.measure.empty()
                                  ? about.analyte + ": "
                                  : about.analyte + ", " + measureLabel(about.measure) + ": ";
    return notesThatBeginWith(*shownTable, begin);
}

std::string modelWords(const Results& results, std::size_t row) {
    return noteOn(results, "model", row);
}

std::string timeCourseWords(const Results& results, std::size_t row) {
    return noteOn(results, "time_course", row);
}

std::string ofAnalyte(const Row& row) {
    return row.about.analyte + "/";
}

std::string marginWords(const Results& results, std::size_t /*row*/) {
    return tableNote(results, "margins", 0) + " " + tableNote(results, "margins", 1);
}

std::string companionWords(const Results& results, std::size_t /*row*/) {
    return tableNote(results, "companions", 0);
}

std::string ranksWords(const Results& results, std::size_t /*row*/) {
    return tableNote(results, "ranks", 0);
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

std::string comparisonOf(const Row& row) {
    return row.about.analyte + "/" + row.about.measure + "/" + row.about.food + "/";
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
         "model_terms",
         say("Factors and variances"),
         {{"model_differences", say("Differences")}},
         say("No model"),
         modelControls,
         modelWords,
         analyteAndMeasure},
        {QStringLiteral("timeCourse"),
         say("Time course"),
         "time_course",
         "time_course_tests",
         say("Food, time, food × time"),
         {{"time_course", say("Differences at each time")}},
         say("No time course"),
         timeCourseControls,
         timeCourseWords,
         ofAnalyte},
        {QStringLiteral("companions"),
         say("Other methods"),
         "companions",
         "pairs",
         say("Each subject"),
         {},
         say("Nothing compared"),
         companionControls,
         companionWords,
         comparisonOf},
        {QStringLiteral("ranks"),
         say("Ranks"),
         "ranks",
         "",
         QString(),
         {},
         say("No test by ranks"),
         nullptr,
         ranksWords,
         nullptr},
        {QStringLiteral("margins"),
         say("Margins"),
         "margins",
         "pairs",
         say("Each subject"),
         {{"margins", say("Differences against margins")}, {"margins_ratio", say("Ratios")}},
         say("No margins in the plan"),
         marginControls,
         marginWords,
         comparisonOf},
        {QStringLiteral("assumptions"),
         say("Assumptions"),
         "influence",
         "",
         QString(),
         {{"influence", say("Without one subject")},
          {"normal_quantiles", say("Differences over normal quantiles")},
          {"model_residuals", say("Residuals of the model")}},
         say("Nothing compared"),
         nullptr,
         influenceWords,
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
         registeredControls,
         registeredWords,
         nullptr},
    };
}

}  // namespace aftercurve
