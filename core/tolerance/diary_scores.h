#pragma once

#include <cstddef>
#include <optional>
#include <span>
#include <string>
#include <string_view>
#include <vector>

#include "core/study/diary_data.h"
#include "core/tolerance/diary_runs.h"

namespace aftercurve {

enum class DiaryQuantityKind { item, composite, stoolForm, stools };

/// Something that a diary says of a day.
struct DiaryQuantity {
    DiaryQuantityKind kind = DiaryQuantityKind::item;
    std::string id;  ///< of the item; "composite", "stool_form", "stools"
    std::string label;
    std::size_t item = 0;             ///< in DiaryData::items, of an item
    double least = 0.0;               ///< end of the scale; of the composite: sum over its items
    std::optional<double> most;       ///< likewise; absent for a number of stools
    std::optional<double> threshold;  ///< of an item: marked from here on
};

/// The items in their order; the composite, where two items or more count in it; stool form and number of
/// stools, where a day has them.
std::vector<DiaryQuantity> diaryQuantities(const DiaryData& diary);

/// What a day says of a quantity. Composite: the sum of its items; absent where one of them has no score.
/// With DiaryData::prorate and half of the items or more: least + (sum over those present above their least)
/// · (range of all)/(range of those present).
std::optional<double> dayValue(const DiaryData& diary, const DiaryQuantity& quantity, const DiaryDay& day);

/// What is made of the days of a subject.
enum class DiaryMeasure { worst, mean, area, loosePercent, hardPercent };

struct DiaryMeasureKind {
    DiaryMeasure measure;
    std::string_view key;    ///< "worst"
    std::string_view label;  ///< "Worst day"
    std::string_view definition;
};

const DiaryMeasureKind& kindOf(DiaryMeasure measure);

/// Those that make sense of a quantity: worst, mean and area of a score, the shares of stool form, the mean
/// number of stools.
std::span<const DiaryMeasure> measuresOf(DiaryQuantityKind kind);

/// One subject in one arm, one quantity. Each measure is found in each period and averaged over the periods
/// that have it; `any` and `marked` are true where they are in one period.
///   worst   largest score of the days present: a missing day may hide a worse one
///   mean    mean of the days present, each counting once
///   area    linear trapezoid over the day numbers, in score × days, from the first to the last planned day;
///   a
///           missing day in between is spanned and noted, a missing first or last one leaves the area absent,
///           as does a plan of one day
///   any     a score above the least of the scale on one day or more; marked: at or above the threshold
///   loose   100 · days with form 6 or 7 / days with a form; hard: form 1 or 2 (common practice, no source)
/// No day with a score: all absent, with the reason.
struct DiaryScore {
    std::string subject;
    std::size_t arm = 0;       ///< in DiaryRuns::arms
    std::size_t quantity = 0;  ///< in diaryQuantities()
    std::size_t periods = 0;
    std::size_t planned = 0;  ///< days, over its periods
    std::size_t scored = 0;   ///< days with this quantity
    std::optional<double> worst;
    std::optional<double> mean;
    std::optional<double> area;
    std::optional<double> loosePercent;
    std::optional<double> hardPercent;
    std::optional<bool> any;
    std::optional<bool> marked;
    std::string absentBecause;
    std::string areaAbsentBecause;
    std::vector<std::string> notes;
    std::size_t row = 0;

    std::optional<double> value(DiaryMeasure measure) const;
};

/// By quantity, arm, subject in the order of the runs.
std::vector<DiaryScore> diaryScores(const DiaryData& diary, const DiaryRuns& runs,
                                    std::span<const DiaryQuantity> quantities);

}  // namespace aftercurve
