// The tabs of the steps Index and Evidence.
#include <QCoreApplication>

#include "core/findings/conformity_findings.h"
#include "core/findings/evidence_findings.h"
#include "core/findings/index_sentences.h"
#include "core/findings/narrative.h"
#include "core/findings/portion_findings.h"
#include "ui/window/statistics/rule_control.h"
#include "ui/window/statistics/statistics_view.h"

namespace aftercurve {

namespace {

struct IndexText {
    Q_DECLARE_TR_FUNCTIONS(Index)
};

QString say(const char* text) {
    return IndexText::tr(text);
}

const IndexFinding* indexOf(const Results& results, const RowSubject& about) {
    for (const IndexFinding& finding : results.findings.index) {
        if (finding.analyte == about.analyte && finding.food == about.food) {
            return &finding;
        }
    }
    return nullptr;
}

std::string indexWords(const Results& results, std::size_t row) {
    const IndexFinding* finding = indexOf(results, results.table("index")->rows[row].about);
    return finding == nullptr ? std::string{}
                              : indexSentence(*results.study, results.findings.plan, *finding);
}

std::string notesOf(const Results& results, std::string_view table) {
    std::string text;
    for (const std::string& note : results.table(table)->notes) {
        text += (text.empty() ? "" : " ") + note;
    }
    return text;
}

/// The sentence about the finding of a row; the tables here have one row a finding, in the same order.
template <class Finding>
std::string wordsOf(const Results& results, const std::vector<Finding>& findings, std::size_t row,
                    std::string (*sentence)(const Study&, const Plan&, const Finding&),
                    std::string_view table) {
    std::string text;
    if (row < findings.size() && findings.size() == results.table(table)->rows.size()) {
        text = sentence(*results.study, results.findings.plan, findings[row]);
    }
    return text.empty() ? notesOf(results, table) : text;
}

std::string waysWords(const Results& results, std::size_t row) {
    const RowSubject& about = results.table("index_ways")->rows[row].about;
    std::vector<IndexWay> ways;
    for (const IndexWay& way : results.findings.indexWays) {
        if (way.analyte == about.analyte && way.food == about.food) {
            ways.push_back(way);
        }
    }
    return indexWaysSentence(*results.study, ways);
}

std::string outlierWords(const Results& results, std::size_t /*row*/) {
    return notesOf(results, "index_outliers");
}

std::string pairWords(const Results& results, std::size_t row) {
    return wordsOf(results, results.findings.indexPairs, row, indexPairSentence, "index_pairs");
}

std::string portionWords(const Results& results, std::size_t row) {
    return wordsOf(results, results.findings.indexPortions, row, indexPortionSentence, "index_portions");
}

std::string mealWords(const Results& results, std::size_t row) {
    return wordsOf(results, results.findings.meals, row, mealSentence, "meals");
}

std::string conformityWords(const Results& results, std::size_t /*row*/) {
    return conformitySentence(*results.study, results.findings.conformity, results.findings.plan) + " " +
           tableNote(results, "conformity", 0);
}

std::string evidenceWords(const Results& results, std::size_t row) {
    const std::string food = results.table("evidence")->rows[row].about.food;
    return evidenceSentence(*results.study, results.findings.evidence, food) + " " +
           evidenceClosingSentence();
}

std::string matchWords(const Results& results, std::size_t row) {
    return wordsOf(results, results.findings.portions, row, portionSentence, "portions");
}

std::string servingWords(const Results& results, std::size_t /*row*/) {
    return notesOf(results, "servings");
}

void standardControls(PlanControls& controls) {
    addRule<IndexStandard>(controls, QStringLiteral("standard"), say("Classes and limits by"),
                           {{say("ISO 26642:2010"), IndexStandard::iso26642},
                            {say("FAO/WHO 1998"), IndexStandard::fao1998},
                            {say("WS/T 652-2019"), IndexStandard::wst652},
                            {say("AS 4694-2007"), IndexStandard::as4694}},
                           &Plan::indexPlan, &IndexPlan::standard, indexStandardFrom);
}

void scaleControls(PlanControls& controls) {
    controls.addNumber(
        QStringLiteral("factor"), say("Factor to the glucose scale"),
        say("1 where the reference is glucose; about 0.7 where it is white bread"),
        [](const Plan& plan) { return std::optional(plan.indexPlan.referenceFactor); },
        [](Plan& plan, std::optional<double> value) { plan.indexPlan.referenceFactor = *value; }, false);
    controls.addText(
        QStringLiteral("factorSource"), say("its source"), say("Where the factor is from"), 24,
        [](const Plan& plan) { return QString::fromStdString(plan.indexPlan.referenceFactorSource); },
        [](Plan& plan, const QString& text) {
            plan.indexPlan.referenceFactorSource = text.simplified().toStdString();
            return true;
        });
}

void matchControls(PlanControls& controls) {
    controls.addNumber(
        QStringLiteral("tolerance"), say("Matched within, %"),
        say("Largest difference in available carbohydrate between two portions that count as matched"),
        [](const Plan& plan) { return std::optional(plan.indexPlan.matchTolerancePercent); },
        [](Plan& plan, std::optional<double> value) { plan.indexPlan.matchTolerancePercent = *value; },
        false);
}

void servingControls(PlanControls& controls) {
    controls.addNumber(
        QStringLiteral("target"), say("Intake of fibre to reach, g a day"), say("Empty: none"),
        [](const Plan& plan) { return plan.indexPlan.fibreTargetG; },
        [](Plan& plan, std::optional<double> value) { plan.indexPlan.fibreTargetG = value; }, true);
}

std::string pairPrefix(const Row& row) {
    return row.key + "/";
}

std::string ofFood(const Row& row) {
    return row.about.analyte + "/" + row.about.food + "/";
}

std::string foodOfPortion(const Row& row) {
    return row.about.food + "/";
}

std::string flowWords(const Results& results, std::size_t /*row*/) {
    return notesOf(results, "flow");
}

}  // namespace

std::vector<StatisticsView> indexViews() {
    return {{QStringLiteral("index"),
             say("Index"),
             "index",
             "index_subjects",
             say("Each subject"),
             {{"index", say("Subjects and means"), true}},
             say("No index"),
             standardControls,
             indexWords,
             nullptr},
            {QStringLiteral("ways"),
             say("Several ways"),
             "index_ways",
             "index_subjects",
             say("Each subject"),
             {{"index_ways", say("Ways side by side")}},
             say("No index"),
             nullptr,
             waysWords,
             ofFood},
            {QStringLiteral("outliers"),
             say("With and without outliers"),
             "index_outliers",
             "index_subjects",
             say("Each subject"),
             {},
             say("No index"),
             nullptr,
             outlierWords,
             ofFood},
            {QStringLiteral("indexPairs"),
             say("Foods compared"),
             "index_pairs",
             "index_pair_subjects",
             say("Each subject"),
             {{"index_pairs", say("Differences"), true}},
             say("No two indices to compare"),
             nullptr,
             pairWords,
             pairPrefix},
            {QStringLiteral("load"),
             say("Load and scale"),
             "index_portions",
             "",
             QString(),
             {},
             say("No index"),
             scaleControls,
             portionWords,
             nullptr},
            {QStringLiteral("meals"),
             say("Mixed meals"),
             "meals",
             "meal_parts",
             say("Parts of the meal"),
             {{"meals", say("Predicted and observed")}},
             say("No mixed meal"),
             nullptr,
             mealWords,
             nullptr},
            {QStringLiteral("rules"),
             say("Published rules"),
             "conformity",
             "",
             QString(),
             {},
             say("No index to hold against a rule"),
             standardControls,
             conformityWords,
             nullptr}};
}

std::vector<StatisticsView> evidenceViews() {
    return {{QStringLiteral("evidence"),
             say("What an authority asks"),
             "evidence",
             "",
             QString(),
             {},
             say("Nothing to hold against the checklist"),
             nullptr,
             evidenceWords,
             nullptr},
            {QStringLiteral("portions"),
             say("Portions and their match"),
             "portions",
             "composition",
             say("Composition"),
             {{"portions", say("Portions side by side"), true}},
             say("No foods"),
             matchControls,
             matchWords,
             foodOfPortion},
            {QStringLiteral("servings"),
             say("Servings"),
             "servings",
             "",
             QString(),
             {},
             say("No servings to count"),
             servingControls,
             servingWords,
             nullptr},
            {QStringLiteral("flow"),
             say("Flow of subjects"),
             "flow",
             "",
             QString(),
             {{"flow", say("Flow of subjects")}},
             say("No subject on record"),
             nullptr,
             flowWords,
             nullptr}};
}

}  // namespace aftercurve
