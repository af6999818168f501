#include "ui/window/statistics/tolerance_views.h"

#include <QCoreApplication>

namespace aftercurve {

namespace {

struct ToleranceText {
    Q_DECLARE_TR_FUNCTIONS(Tolerance)
};

QString say(const char* text) {
    return ToleranceText::tr(text);
}

/// Rows of the tables of tolerance are named by item, food with dose, and what else tells them apart.
std::string itemAndArm(const Row& row) {
    const std::size_t item = row.key.find('/');
    const std::size_t arm = item == std::string::npos ? item : row.key.find('/', item + 1);
    return arm == std::string::npos ? row.key : row.key.substr(0, arm + 1);
}

StatisticsView viewOf(const char* name, QString title, const char* table, QString emptyTitle) {
    StatisticsView view;
    view.name = QString::fromUtf8(name);
    view.title = std::move(title);
    view.table = table;
    view.emptyTitle = std::move(emptyTitle);
    return view;
}

}  // namespace

StatisticsView symptomsView() {
    StatisticsView view = viewOf("symptoms", say("Symptoms"), "tolerance_tests", say("No symptoms compared"));
    view.detail = "tolerance_scores";
    view.detailTitle = say("Each subject");
    view.figures = {{"symptoms_diverging", say("By food"), true}, {"symptoms_dose", say("By dose"), true}};
    view.detailPrefix = itemAndArm;
    return view;
}

StatisticsView incidenceView() {
    StatisticsView view =
        viewOf("incidence", say("Subjects with a symptom"), "tolerance_incidence", say("No symptom diary"));
    view.detail = "tolerance_categories";
    view.detailTitle = say("By score");
    view.detailPrefix = itemAndArm;
    return view;
}

StatisticsView diaryDaysView() {
    return viewOf("diary-days", say("Missing diary days"), "diary_missing", say("No missing days"));
}

StatisticsView eventsView() {
    return viewOf("events", say("Adverse events"), "adverse_events", say("No events on record"));
}

StatisticsView bridgeView() {
    StatisticsView view =
        viewOf("bridge", say("In vitro and in people"), "bridge", say("Nothing to put side by side"));
    view.figures = {{"bridge", say("Foods and line"), true}};
    return view;
}

}  // namespace aftercurve
