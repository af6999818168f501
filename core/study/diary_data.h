#pragma once

#include <cstddef>
#include <optional>
#include <string>
#include <vector>

namespace aftercurve {

/// One thing that subjects score.
struct DiaryItem {
    std::string id;     ///< column of the diary file: "bloating"
    std::string label;  ///< for people
    int least = 0;
    int most = 3;
    bool composite = true;  ///< counts in the composite score

    bool operator==(const DiaryItem&) const = default;
};

/// One day of one subject with one food.
struct DiaryDay {
    std::string subject;
    std::string food;
    int period = 0;                          ///< 0: not given
    int day = 1;                             ///< of eating the food
    std::optional<double> doseG;             ///< of the ingredient on this day
    std::vector<std::optional<int>> scores;  ///< as DiaryData::items
    std::optional<int> stoolForm;            ///< 1 (hard lumps) to 7 (watery)
    std::optional<int> stools;               ///< number on this day
    std::size_t row = 0;

    bool operator==(const DiaryDay&) const = default;
};

/// Something untoward, whatever its cause.
struct AdverseEvent {
    std::string subject;
    std::string food;
    int day = 0;  ///< 0: not given
    std::string what;
    std::string severity;  ///< "mild", "moderate", "severe"
    std::string related;   ///< as the physician judged: "unlikely", "possible", "probable"
    std::string outcome;

    bool operator==(const AdverseEvent&) const = default;
};

/// The symptom diaries of a study.
struct DiaryData {
    std::string file;  ///< relative to the study folder; empty: none
    std::vector<DiaryItem> items;
    std::vector<DiaryDay> days;
    int plannedDays = 0;  ///< per subject and food; 0: the largest day
    std::vector<AdverseEvent> events;

    bool operator==(const DiaryData&) const = default;
};

}  // namespace aftercurve
