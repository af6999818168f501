#pragma once

#include <QString>
#include <string>
#include <vector>

#include "ui/figures/figure.h"
#include "ui/window/results.h"

namespace aftercurve {

class PlanControls;
class SettingControls;

/// A figure beside a table, and what its button is called.
struct StatisticsFigure {
    std::string_view kind;  ///< key in figureList()
    QString label;
    bool allFoods = false;  ///< also those beside the chosen row's
};

/// What one tab of the statistics shows: a table, the parts of the plan it hangs on, figures of the row that
/// is chosen, and a second table with the values behind that row.
struct StatisticsView {
    QString name;         ///< "model": of the tab and its widgets
    QString title;        ///< of the tab
    std::string table;    ///< key in tableList()
    std::string detail;   ///< likewise; its rows whose keys begin with the chosen row's. Empty: none
    QString detailTitle;  ///< over it
    std::vector<StatisticsFigure> figures;
    QString emptyTitle;  ///< where the table has no row; its own words stand under it
    void (*addControls)(PlanControls& controls) = nullptr;  ///< null: no choice
    /// Words about the chosen row; null: the table's own notes.
    std::string (*sentence)(const Results& results, std::size_t row) = nullptr;
    /// How much of the chosen row's key the rows of `detail` share: all of it and "/" (0), or its first
    /// parts.
    std::string (*detailPrefix)(const Row& row) = nullptr;
    /// Settings of the study that the table hangs on; null: none. Shown where the study `hasData`.
    void (*addSettings)(SettingControls& settings) = nullptr;
    /// Whether the study has what the table is made of; null: it has.
    bool (*hasData)(const Study& study) = nullptr;
    /// What is said under them; null: nothing.
    QString (*settingsNote)(const Study& study) = nullptr;
    QString dataTab = {};  ///< tab of the step where its data are entered, offered where there are none
};

/// The tabs of a step in their order, behind its first page where it has one of its own. A new tab is one
/// entry there.
std::vector<StatisticsView> statisticsViews();  ///< Comparisons
std::vector<StatisticsView> measureViews();     ///< Measures
std::vector<StatisticsView> indexViews();       ///< Index
std::vector<StatisticsView> evidenceViews();    ///< Evidence
std::vector<StatisticsView> laboratoryViews();  ///< In vitro
std::vector<StatisticsView> toleranceViews();   ///< Tolerance

// The tabs of In vitro and Tolerance where data are entered.
inline constexpr const char* laboratoryDataTab = "laboratoryData";
inline constexpr const char* diaryDataTab = "diaryData";

}  // namespace aftercurve
