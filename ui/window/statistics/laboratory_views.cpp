#include <QCoreApplication>
#include <algorithm>

#include "ui/window/statistics/laboratory_settings.h"
#include "ui/window/statistics/rule_control.h"
#include "ui/window/statistics/statistics_view.h"

namespace aftercurve {

namespace {

struct LaboratoryText {
    Q_DECLARE_TR_FUNCTIONS(Laboratory)
};

QString say(const char* text) {
    return LaboratoryText::tr(text);
}

constexpr char fractionsTable[] = "digestion_fractions";
constexpr char fitsTable[] = "digestion_fits";
constexpr char hydrolysisTable[] = "digestion_index";
constexpr char samplesComparedTable[] = "digestion_comparisons";
constexpr char fibreResultsTable[] = "fibre_results";
constexpr char fibreMethodsTable[] = "fibre_methods";
constexpr char fibreStatementsTable[] = "fibre_statements";
constexpr char recipesTable[] = "recipes";
constexpr char bridgeTable[] = "bridge";
constexpr char symptomsTable[] = "tolerance_tests";
constexpr char oddsTable[] = "tolerance_ordinal";
constexpr char incidenceTable[] = "tolerance_incidence";
constexpr char missingDaysTable[] = "diary_missing";
constexpr char eventsTable[] = "adverse_events";

/// The sentences that rest on that row; without one, the notes of the table.
template <const char* table>
std::string rowWords(const Results& results, std::size_t row) {
    const SentenceSource wanted{table, row};
    std::string text;
    for (const Sentence& sentence : results.laboratoryWords) {
        if (std::find(sentence.sources.begin(), sentence.sources.end(), wanted) != sentence.sources.end()) {
            text += (text.empty() ? "" : " ") + sentence.text;
        }
    }
    return text.empty() ? notesThatBeginWith(*results.table(table), "") : text;
}

/// Rows of the tables of tolerance are named by item, food with dose, and what else tells them apart.
std::string itemAndArm(const Row& row) {
    const std::size_t item = row.key.find('/');
    const std::size_t arm = item == std::string::npos ? item : row.key.find('/', item + 1);
    return arm == std::string::npos ? row.key : row.key.substr(0, arm + 1);
}

StatisticsView viewOf(const char* name, QString title, const char* table, QString emptyTitle,
                      std::string (*sentence)(const Results&, std::size_t)) {
    StatisticsView view;
    view.name = QString::fromUtf8(name);
    view.title = std::move(title);
    view.table = table;
    view.emptyTitle = std::move(emptyTitle);
    view.sentence = sentence;
    return view;
}

}  // namespace

std::vector<StatisticsView> laboratoryViews() {
    const QString noAssays = say("No assays of digestion");
    const QString noFibre = say("No fibre results");
    std::vector<StatisticsView> views{
        viewOf("fractions", say("Starch fractions"), fractionsTable, noAssays, rowWords<fractionsTable>),
        viewOf("digestion", say("Digestion curves"), fitsTable, noAssays, rowWords<fitsTable>),
        viewOf("hydrolysis", say("Hydrolysis index"), hydrolysisTable, noAssays, rowWords<hydrolysisTable>),
        viewOf("samplesCompared", say("Samples compared"), samplesComparedTable, noAssays,
               rowWords<samplesComparedTable>),
        viewOf("fibre", say("Fibre by method"), fibreResultsTable, noFibre, rowWords<fibreResultsTable>),
        viewOf("fibreMethods", say("What the methods measure"), fibreMethodsTable, noFibre,
               rowWords<fibreMethodsTable>),
        viewOf("fibreStatements", say("Fibre on a label"), fibreStatementsTable, say("No statements"),
               rowWords<fibreStatementsTable>),
        viewOf("recipes", say("Recipes"), recipesTable, say("No recipe"), rowWords<recipesTable>),
        viewOf("bridge", say("In vitro and in people"), bridgeTable, say("Nothing to put side by side"),
               rowWords<bridgeTable>)};
    views[0].figures = {{"digestion_fractions", say("Fractions of each sample"), true}};
    views[1].figures = {{"digestion_curves", say("Curves and fits"), true}};
    views[2].figures = {{"digestion_curves", say("Curves and fits"), true}};
    views[4].figures = {{"fibre_bars", say("Fibre by method and recipe"), true}};
    views[7].figures = {{"fibre_bars", say("Fibre by method and recipe"), true}};
    views[8].figures = {{"bridge", say("Foods and line"), true}};
    views[0].addSettings = fractionSettings;
    views[1].addSettings = curveSettings;
    views[2].addSettings = curveSettings;
    views[3].addSettings = comparedSettings;
    views[4].addSettings = fibreSettings;
    views[6].addSettings = statementSettings;
    views[7].addSettings = recipeSettings;
    views[6].settingsNote = fibreRuleNote;
    for (StatisticsView& view : views) {
        const bool isFibre = view.table.starts_with("fibre") || view.table == recipesTable;
        view.hasData = isFibre ? hasFibre : hasAssays;
        view.dataTab = laboratoryDataTab;
    }
    return views;
}

std::vector<StatisticsView> toleranceViews() {
    std::vector<StatisticsView> views{viewOf("symptoms", say("Symptoms"), symptomsTable,
                                             say("No symptoms compared"), rowWords<symptomsTable>),
                                      viewOf("symptomOdds", say("Odds of a higher score"), oddsTable,
                                             say("No symptoms compared"), rowWords<oddsTable>),
                                      viewOf("incidence", say("Subjects with a symptom"), incidenceTable,
                                             say("No symptom diary"), rowWords<incidenceTable>),
                                      viewOf("diaryDays", say("Missing diary days"), missingDaysTable,
                                             say("No missing days"), rowWords<missingDaysTable>),
                                      viewOf("events", say("Adverse events"), eventsTable,
                                             say("No events on record"), rowWords<eventsTable>)};
    views[0].detail = "tolerance_scores";
    views[0].detailTitle = say("Each subject");
    views[0].figures = {{"symptoms_diverging", say("By food"), true},
                        {"symptoms_dose", say("By dose"), true}};
    views[0].detailPrefix = itemAndArm;
    views[1].detail = "tolerance_categories";
    views[1].detailTitle = say("By score");
    views[1].detailPrefix = itemAndArm;
    views[2].detail = views[1].detail;
    views[2].detailTitle = views[1].detailTitle;
    views[2].detailPrefix = itemAndArm;
    views[0].addSettings = compositeSettings;
    views[3].addSettings = diaryDaySettings;
    for (StatisticsView& view : views) {
        view.hasData = view.table == eventsTable ? hasEvents : hasDiary;
        view.dataTab = diaryDataTab;
    }
    return views;
}

}  // namespace aftercurve
