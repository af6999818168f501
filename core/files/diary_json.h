#pragma once

#include <array>
#include <cstddef>
#include <string_view>

#include "core/files/json_object.h"
#include "core/study/diary_data.h"

namespace aftercurve {

inline constexpr std::size_t mostDiaryItems = 50;
inline constexpr int largestScore = 1000;                ///< either way, of the ends of a scale
inline constexpr int mostDiaryDays = 1000;               ///< day numbers run from 1 to this
inline constexpr std::size_t mostDiaryArms = 200;        ///< foods at their doses
inline constexpr std::size_t mostDiaryScores = 1000000;  ///< subjects × foods and doses × items
inline constexpr std::size_t mostEvents = 100'000;

/// The words of AdverseEvent::severity and ::related; others are kept as they were written.
inline constexpr std::array<std::string_view, 3> eventSeverities{"mild", "moderate", "severe"};
inline constexpr std::array<std::string_view, 3> eventRelations{"unlikely", "possible", "probable"};

/// True for a name that the diary uses itself, which no item may have: a fixed column, "composite".
bool isDiaryWord(std::string_view name);

/// The threshold of an item that gives none: 2 where its scale holds that, else the score nearest to it.
int usualThresholdOf(const DiaryItem& item);

/// The object "diary" of study.json: file, items (id, label, least, most, composite, threshold),
/// planned_days, composite_missing ("absent", "prorate"), events (subject, food, day, what, severity,
/// related, outcome, serious). No days: those stand in the file. Fatal: an item without id, with an id that
/// is there twice or is a fixed column of the file, a scale whose most is not above its least, a threshold
/// outside the scale, an event without subject or what. Warnings: a severity or relation that is not one of
/// the words (kept as written, so that no event is lost).
DiaryData diaryFrom(const JsonObject& object);

/// Makes root["diary"] say what `now` says beside its days; keys that this program does not know stay,
/// also those of an item (by id) and of an event (by its place in the list).
void putDiary(const DiaryData& now, Json& root);

/// True where two diaries differ in nothing but their days.
bool sameBesideDays(const DiaryData& a, const DiaryData& b);

}  // namespace aftercurve
