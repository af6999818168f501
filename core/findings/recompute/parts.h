#pragma once

#include <cstddef>
#include <optional>
#include <span>
#include <string>
#include <string_view>
#include <unordered_map>

#include "core/findings/findings.h"
#include "core/findings/recompute.h"
#include "core/findings/table.h"

namespace aftercurve {

// Internal to recomputeFiles.

/// Number of each subject, food and analyte, from 1 in the order of the study. The script joins its files by
/// these alone: a code is text of a person and only shown.
struct StudyNumbers {
    std::unordered_map<std::string_view, std::size_t> subject;
    std::unordered_map<std::string_view, std::size_t> food;
    std::unordered_map<std::string_view, std::size_t> analyte;
};
StudyNumbers numbersOf(const Study& study);

/// A setting of the sensitivity grid: what changes the curves themselves.
struct GridSetting {
    double windowEndMin = 0.0;
    BaselineRule baseline = BaselineRule::fastingMean;
    bool exclusionsApplied = true;

    bool operator==(const GridSetting&) const = default;
};
/// The settings that the grid used, each once, in order of appearance.
std::vector<GridSetting> gridSettings(const Findings& findings);

/// Where a reported number stands. 0 and empty: does not apply.
struct ReportedPlace {
    std::string table;
    std::string row;  ///< for people
    std::size_t analyte = 0;
    std::string measure;
    std::size_t food = 0;
    std::size_t comparator = 0;
    std::size_t subject = 0;
    int visit = 0;
    std::string item;  ///< what else tells rows of one table apart: a word or a number
};

/// reported.csv while it is made.
struct ReportedRows {
    std::string csv;
    std::size_t count = 0;
};
void addNumber(ReportedRows& rows, const ReportedPlace& place, std::string_view quantity,
               const std::optional<double>& value, std::string_view absentBecause = {});
void addCount(ReportedRows& rows, const ReportedPlace& place, std::string_view quantity, std::size_t count);
/// A word in place of a number; empty: absent.
void addWord(ReportedRows& rows, const ReportedPlace& place, std::string_view quantity, std::string_view word,
             std::string_view absentBecause = {});
/// Every number of a row of a table, and of its texts those in `words`, by the keys of the columns. What is
/// absent has the row's remark as its reason.
void addTableRow(ReportedRows& rows, ReportedPlace place, const Table& table, const Row& row,
                 std::span<const std::string_view> words = {});

// One function for each group of tables.
void addCurves(ReportedRows& rows, const StudyNumbers& numbers, const Findings& findings);
void addMeanCurves(ReportedRows& rows, const StudyNumbers& numbers, const Findings& findings);
void addSummaries(ReportedRows& rows, const StudyNumbers& numbers, const Findings& findings);
void addAgreement(ReportedRows& rows, const StudyNumbers& numbers, const Findings& findings);
void addComparisons(ReportedRows& rows, const StudyNumbers& numbers, const Findings& findings);
void addCrossovers(ReportedRows& rows, const StudyNumbers& numbers, const Findings& findings);
void addIndex(ReportedRows& rows, const StudyNumbers& numbers, const Findings& findings);
void addIndexDetails(ReportedRows& rows, const StudyNumbers& numbers, const Findings& findings);
void addModels(ReportedRows& rows, const StudyNumbers& numbers, const Findings& findings);
void addCompanions(ReportedRows& rows, const StudyNumbers& numbers, const Findings& findings);
void addTimeCourses(ReportedRows& rows, const StudyNumbers& numbers, const Findings& findings);
void addMargins(ReportedRows& rows, const StudyNumbers& numbers, const Findings& findings);
void addPortions(ReportedRows& rows, const StudyNumbers& numbers, const Findings& findings);
void addInsulin(ReportedRows& rows, const StudyNumbers& numbers, const Findings& findings);
void addCurveParts(ReportedRows& rows, const StudyNumbers& numbers, const Findings& findings);
void addDemographics(ReportedRows& rows, const StudyNumbers& numbers, const Findings& findings);
void addSensitivity(ReportedRows& rows, const StudyNumbers& numbers, const Findings& findings);
void addDigestion(ReportedRows& rows, const StudyNumbers& numbers, const Findings& findings);
void addFibre(ReportedRows& rows, const StudyNumbers& numbers, const Findings& findings);
void addTolerance(ReportedRows& rows, const StudyNumbers& numbers, const Findings& findings);
void addBridge(ReportedRows& rows, const StudyNumbers& numbers, const Findings& findings);

// The files of data.
struct CurveFiles {
    std::string curves;
    std::string samples;
};
CurveFiles curveFiles(const Study& study, const Findings& findings);
std::string subjectsFile(const Study& study);
std::string foodsFile(const Study& study);
/// What index, load and meals read of the foods.
std::string indexFoodsFile(const Study& study);
std::string mealPartsFile(const Study& study);
std::string analytesFile(const Study& study, const Plan& plan);
std::string settingsFile(const Findings& findings);
std::string planFile(const Study& study, const Findings& findings);
/// The assays of digestion in vitro: their settings, samples and readings. Headers alone where there are
/// none.
struct AssayFiles {
    std::string settings;
    std::string samples;
    std::string readings;
};
AssayFiles assayFiles(const Study& study);
/// Fibre and recipes. Headers alone where there are none.
struct FibreFiles {
    std::string settings;
    std::string rule;
    std::string methods;
    std::string results;
    std::string recipes;
    std::string parts;
};
FibreFiles fibreFiles(const Study& study, const Findings& findings);
/// Symptom diaries and adverse events. Headers alone where there are none.
struct DiaryFiles {
    std::string settings;
    std::string items;
    std::string days;
    std::string excluded;
    std::string events;
};
DiaryFiles diaryFiles(const Study& study);

}  // namespace aftercurve
