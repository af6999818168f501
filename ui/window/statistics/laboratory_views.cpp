#include <QCoreApplication>
#include <algorithm>

#include "core/findings/fibre_words.h"
#include "core/findings/laboratory_words.h"
#include "core/findings/tolerance_words.h"
#include "ui/window/statistics/statistics_view.h"

namespace aftercurve {

namespace {

struct LaboratoryText {
    Q_DECLARE_TR_FUNCTIONS(Laboratory)
};

QString say(const char* text) {
    return LaboratoryText::tr(text);
}

/// The sentences that rest on that row; without one, the notes of the table.
std::string wordsOf(const Results& results, const std::vector<Sentence>& sentences, std::string_view table,
                    std::size_t row) {
    std::string text;
    for (const Sentence& sentence : sentences) {
        if (std::find(sentence.sources.begin(), sentence.sources.end(),
                      SentenceSource{std::string{table}, row}) != sentence.sources.end()) {
            text += (text.empty() ? "" : " ") + sentence.text;
        }
    }
    if (!text.empty()) {
        return text;
    }
    for (const std::string& note : results.table(table)->notes) {
        text += (text.empty() ? "" : " ") + note;
    }
    return text;
}

constexpr char fractions[] = "digestion_fractions";
constexpr char fits[] = "digestion_fits";
constexpr char hydrolysis[] = "digestion_index";
constexpr char samplesCompared[] = "digestion_comparisons";
constexpr char fibreResults[] = "fibre_results";
constexpr char fibreMethods[] = "fibre_methods";
constexpr char fibreStatements[] = "fibre_statements";
constexpr char recipes[] = "recipes";
constexpr char bridge[] = "bridge";
constexpr char symptoms[] = "tolerance_tests";
constexpr char incidence[] = "tolerance_incidence";
constexpr char missingDays[] = "diary_missing";
constexpr char events[] = "adverse_events";

template <const char* table>
std::string digestionWords(const Results& results, std::size_t row) {
    return wordsOf(results, digestionSentences(*results.study, results.findings), table, row);
}

template <const char* table>
std::string fibreWords(const Results& results, std::size_t row) {
    return wordsOf(results, fibreSentences(*results.study, results.findings), table, row);
}

template <const char* table>
std::string toleranceWords(const Results& results, std::size_t row) {
    return wordsOf(results, toleranceResults(*results.study, results.findings), table, row);
}

std::string bridgeWords(const Results& results, std::size_t row) {
    return wordsOf(results, bridgeResults(results.findings), bridge, row);
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
        viewOf("fractions", say("Starch fractions"), fractions, noAssays, digestionWords<fractions>),
        viewOf("digestion", say("Digestion curves"), fits, noAssays, digestionWords<fits>),
        viewOf("hydrolysis", say("Hydrolysis index"), hydrolysis, noAssays, digestionWords<hydrolysis>),
        viewOf("samplesCompared", say("Samples compared"), samplesCompared, noAssays,
               digestionWords<samplesCompared>),
        viewOf("fibre", say("Fibre by method"), fibreResults, noFibre, fibreWords<fibreResults>),
        viewOf("fibreMethods", say("What the methods measure"), fibreMethods, noFibre,
               fibreWords<fibreMethods>),
        viewOf("fibreStatements", say("Fibre on a label"), fibreStatements, say("No statements"),
               fibreWords<fibreStatements>),
        viewOf("recipes", say("Recipes"), recipes, say("No recipe"), fibreWords<recipes>),
        viewOf("bridge", say("In vitro and in people"), bridge, say("Nothing to put side by side"),
               bridgeWords)};
    views[0].figures = {{"digestion_fractions", say("Fractions of each sample"), true}};
    views[1].figures = {{"digestion_curves", say("Curves and fits"), true}};
    views[2].figures = {{"digestion_curves", say("Curves and fits"), true}};
    views[4].figures = {{"fibre_bars", say("Fibre by method and recipe"), true}};
    views[7].figures = {{"fibre_bars", say("Fibre by method and recipe"), true}};
    views[8].figures = {{"bridge", say("Foods and line"), true}};
    return views;
}

std::vector<StatisticsView> toleranceViews() {
    std::vector<StatisticsView> views{
        viewOf("symptoms", say("Symptoms"), symptoms, say("No symptoms compared"), toleranceWords<symptoms>),
        viewOf("incidence", say("Subjects with a symptom"), incidence, say("No symptom diary"),
               toleranceWords<incidence>),
        viewOf("diaryDays", say("Missing diary days"), missingDays, say("No missing days"),
               toleranceWords<missingDays>),
        viewOf("events", say("Adverse events"), events, say("No events on record"), toleranceWords<events>)};
    views[0].detail = "tolerance_scores";
    views[0].detailTitle = say("Each subject");
    views[0].figures = {{"symptoms_diverging", say("By food"), true},
                        {"symptoms_dose", say("By dose"), true}};
    views[0].detailPrefix = itemAndArm;
    views[1].detail = "tolerance_categories";
    views[1].detailTitle = say("By score");
    views[1].detailPrefix = itemAndArm;
    return views;
}

}  // namespace aftercurve
