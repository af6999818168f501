// The symptom diaries and adverse events as data files.
#include <algorithm>
#include <map>
#include <optional>
#include <set>
#include <string>
#include <string_view>

#include "core/base/number_text.h"
#include "core/files/csv_cell.h"
#include "core/findings/recompute/parts.h"
#include "core/tolerance/diary_runs.h"

namespace aftercurve {

namespace {

using Places = std::unordered_map<std::string_view, std::size_t>;

std::string numberIn(const Places& places, std::string_view id) {
    const auto found = places.find(id);
    return found == places.end() ? std::string{} : std::to_string(found->second);
}

std::string orBlank(const std::optional<int>& value) {
    return value ? std::to_string(*value) : std::string{};
}

bool isExcluded(const Study& study, const DiaryDay& day) {
    return std::any_of(study.exclusions.begin(), study.exclusions.end(),
                       [&day](const Exclusion& one) { return excludesDay(one, day); });
}

std::string settingsOf(const DiaryData& diary) {
    return "key,value\nplanned_days," +
           (diary.plannedDays > 0 ? std::to_string(diary.plannedDays) : std::string{}) + "\nprorate," +
           (diary.prorate ? "yes" : "no") + '\n';
}

std::string itemsOf(const DiaryData& diary) {
    std::string csv = "item_no,item,least,most,threshold,composite\n";
    for (std::size_t i = 0; i < diary.items.size(); ++i) {
        const DiaryItem& item = diary.items[i];
        csv += std::to_string(i + 1) + ',' + textCell(item.id) + ',' + std::to_string(item.least) + ',' +
               std::to_string(item.most) + ',' + std::to_string(item.threshold) + ',' +
               (item.composite ? "yes" : "no") + '\n';
    }
    return csv;
}

std::string daysOf(const Study& study, const StudyNumbers& numbers) {
    std::string csv = "subject_no,subject,food_no,food,period,day,dose_g,excluded,stool_form,stools";
    for (std::size_t i = 0; i < study.diary.items.size(); ++i) {
        csv += ",item_" + std::to_string(i + 1);
    }
    csv += '\n';
    for (const DiaryDay& day : study.diary.days) {
        csv += numberIn(numbers.subject, day.subject) + ',' + textCell(day.subject) + ',' +
               numberIn(numbers.food, day.food) + ',' + textCell(day.food) + ',' +
               (day.period > 0 ? std::to_string(day.period) : "") + ',' + std::to_string(day.day) + ',' +
               (day.doseG ? plainNumber(*day.doseG) : "") + ',' + (isExcluded(study, day) ? "yes" : "no") +
               ',' + orBlank(day.stoolForm) + ',' + orBlank(day.stools);
        for (std::size_t i = 0; i < study.diary.items.size(); ++i) {
            csv += ',' + (i < day.scores.size() ? orBlank(day.scores[i]) : std::string{});
        }
        csv += '\n';
    }
    return csv;
}

/// Subjects and foods whose first period an exclusion takes out: without a day they do not count as missing.
std::string excludedOf(const Study& study) {
    std::string csv = "subject_no,subject,food_no,food\n";
    if (study.diary.days.empty()) {
        return csv;
    }
    for (std::size_t s = 0; s < study.subjects.size(); ++s) {
        for (std::size_t f = 0; f < study.foods.size(); ++f) {
            DiaryDay day;
            day.subject = study.subjects[s].id;
            day.food = study.foods[f].id;
            if (isExcluded(study, day)) {
                csv += std::to_string(s + 1) + ',' + textCell(day.subject) + ',' + std::to_string(f + 1) +
                       ',' + textCell(day.food) + '\n';
            }
        }
    }
    return csv;
}

/// Numbers of words from `first` on, those that have none yet in the order of their bytes.
class WordNumbers {
  public:
    WordNumbers(Places known, std::size_t first) : places_{std::move(known)}, next_{first} {}

    void take(const std::set<std::string_view>& words) {
        for (const std::string_view word : words) {
            next_ += places_.emplace(word, next_).second ? 1U : 0U;
        }
    }
    std::string of(std::string_view word) const { return std::to_string(places_.at(word)); }

  private:
    Places places_;
    std::size_t next_;
};

std::string eventsOf(const Study& study, const StudyNumbers& numbers) {
    std::set<std::string_view> subjects;
    std::set<std::string_view> foods;
    std::set<std::string_view> severities;
    for (const AdverseEvent& event : study.diary.events) {
        subjects.insert(event.subject);
        foods.insert(event.food);
        severities.insert(event.severity);
    }
    WordNumbers subject{numbers.subject, study.subjects.size() + 1};
    WordNumbers food{numbers.food, study.foods.size() + 1};
    WordNumbers severity{{{"mild", 1}, {"moderate", 2}, {"severe", 3}}, 4};
    subject.take(subjects);
    food.take(foods);
    severity.take(severities);
    std::string csv = "event_no,subject_no,subject,food_no,food,severity_no,severity,serious,day,what\n";
    for (std::size_t i = 0; i < study.diary.events.size(); ++i) {
        const AdverseEvent& event = study.diary.events[i];
        csv += std::to_string(i + 1) + ',' + subject.of(event.subject) + ',' + textCell(event.subject) + ',' +
               food.of(event.food) + ',' + textCell(event.food) + ',' + severity.of(event.severity) + ',' +
               textCell(event.severity) + ',' + (event.serious ? "yes" : "no") + ',' +
               (event.day > 0 ? std::to_string(event.day) : "") + ',' + textCell(event.what) + '\n';
    }
    return csv;
}

}  // namespace

DiaryFiles diaryFiles(const Study& study) {
    const StudyNumbers numbers = numbersOf(study);
    return {settingsOf(study.diary), itemsOf(study.diary), daysOf(study, numbers), excludedOf(study),
            eventsOf(study, numbers)};
}

}  // namespace aftercurve
