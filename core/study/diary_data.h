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
    int threshold = 2;      ///< a score from here on counts as marked; within (least, most]

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
    std::string severity;  ///< "mild", "moderate", "severe"; other words are kept, with a warning
    std::string related;   ///< as the physician judged: "unlikely", "possible", "probable"
    std::string outcome;
    bool serious = false;  ///< as the physician judged; not the same as severe

    bool operator==(const AdverseEvent&) const = default;
};

/// The symptom diaries of a study.
struct DiaryData {
    std::string file;  ///< relative to the study folder; empty: none
    std::vector<DiaryItem> items;
    std::vector<DiaryDay> days;
    int plannedDays = 0;  ///< per subject, food and period; 0: the largest day of the diary
    std::vector<AdverseEvent> events;
    /// What the composite of a day is where an item has no score: absent (false), or the sum of the others
    /// scaled to all items, where half of them or more are there (true).
    bool prorate = false;

    bool operator==(const DiaryData&) const = default;
};

}  // namespace aftercurve
