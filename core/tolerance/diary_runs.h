#pragma once

#include <cstddef>
#include <optional>
#include <string>
#include <vector>

#include "core/study/study.h"

namespace aftercurve {

/// A food at one dose of its ingredient.
struct DiaryArm {
    std::string food;
    std::optional<double> doseG;  ///< absent: no dose was given

    bool operator==(const DiaryArm&) const = default;
};

/// The diary of one subject in one arm and one period.
struct DiaryRun {
    std::string subject;
    std::size_t arm = 0;   ///< in DiaryRuns::arms
    int period = 0;        ///< 0: not given
    int firstPlanned = 1;  ///< day numbers, both included
    int lastPlanned = 1;
    std::vector<std::size_t> days;  ///< in DiaryData::days, by day; with an entry, within the planned ones
    std::vector<int> missing;       ///< planned days without any entry
    std::size_t row = 0;            ///< its first row in the diary file; 0: it has none

    std::size_t planned() const { return static_cast<std::size_t>(lastPlanned - firstPlanned + 1); }
};

/// A group of days that counts nowhere, or whose dose was taken from its period.
struct DiaryRemark {
    std::string subject;
    std::string food;
    std::size_t row = 0;
    std::string what;
    bool leftOut = true;
};

struct DiaryRuns {
    std::vector<DiaryArm> arms;  ///< by food in the order of the study, then dose, none first
    std::vector<DiaryRun> runs;  ///< by arm, subject in the order of the study, period
    std::size_t excludedDays = 0;
    std::vector<DiaryRemark> remarks;
};

/// Whether an exclusion takes out this day: one without analyte and without time whose subject, food and
/// visit match; its visit is the period of the diary, a period that is not given counts as 1. One of the
/// laboratory takes out none.
bool excludesDay(const Exclusion& exclusion, const DiaryDay& day);

/// Groups the days of a diary. Rows may come in any order.
///  - An excluded day counts nowhere.
///  - Dose: a day without one in a period whose other days give one dose belongs to that dose, with a remark;
///    where they give several, it is left out, with a remark.
///  - Planned days of a food whose dose stays the same within each period: 1 to DiaryData::plannedDays (0:
///  the
///    largest day number of the diary). Where doses change within a period: from the first to the last day
///    that any subject has at that dose. A day after the planned ones is left out, with a remark.
///  - A row without a single entry is a missing day. A subject with a diary who has no day at all of an arm
///    gets a run of missing days, so that it is counted; no day is ever filled in.
DiaryRuns diaryRuns(const Study& study);

/// "5 g", "" for an arm without a dose.
std::string doseText(const std::optional<double>& doseG);

}  // namespace aftercurve
