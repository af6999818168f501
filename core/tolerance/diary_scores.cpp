#include "core/tolerance/diary_scores.h"

#include <algorithm>
#include <array>

#include "core/base/number_text.h"
#include "core/compare/descriptive.h"

namespace aftercurve {

namespace {

constexpr double firstLooseForm = 6.0;
constexpr double lastHardForm = 2.0;

constexpr std::array measures{
    DiaryMeasureKind{DiaryMeasure::worst, "worst", "Worst day", "largest score of the days present"},
    DiaryMeasureKind{DiaryMeasure::mean, "mean", "Mean of the days", "mean over the days present"},
    DiaryMeasureKind{DiaryMeasure::area, "area", "Area over the days",
                     "linear trapezoid from the first to the last planned day, score × days"},
    DiaryMeasureKind{DiaryMeasure::loosePercent, "loose_percent", "Days with loose stools (%)",
                     "100 · days with form 6 or 7 / days with a form"},
    DiaryMeasureKind{DiaryMeasure::hardPercent, "hard_percent", "Days with hard stools (%)",
                     "100 · days with form 1 or 2 / days with a form"}};

struct DayValue {
    int day = 0;
    double value = 0.0;
};

std::vector<DayValue> valuesOf(const DiaryData& diary, const DiaryQuantity& quantity, const DiaryRun& run) {
    std::vector<DayValue> values;
    for (const std::size_t index : run.days) {
        if (const auto value = dayValue(diary, quantity, diary.days[index])) {
            values.push_back({diary.days[index].day, *value});
        }
    }
    return values;
}

std::optional<double> areaOf(const DiaryRun& run, std::span<const DayValue> values, DiaryScore& score) {
    if (run.planned() < 2) {
        score.areaAbsentBecause = "one planned day has no area";
        return std::nullopt;
    }
    for (const auto& [there, planned] :
         {std::pair{values.front().day, run.firstPlanned}, std::pair{values.back().day, run.lastPlanned}}) {
        if (there != planned) {
            score.areaAbsentBecause =
                "day " + std::to_string(planned) + " has no score, and the area is not drawn out";
            return std::nullopt;
        }
    }
    double area = 0.0;
    for (std::size_t i = 1; i < values.size(); ++i) {
        area += 0.5 * (values[i - 1].value + values[i].value) *
                static_cast<double>(values[i].day - values[i - 1].day);
    }
    if (values.size() < run.planned()) {
        score.notes.push_back("the area spans " + std::to_string(run.planned() - values.size()) +
                              " days without a score");
    }
    return area;
}

/// The measures of one period, to be averaged.
struct PeriodValues {
    std::vector<double> worst;
    std::vector<double> mean;
    std::vector<double> area;
    std::vector<double> loose;
    std::vector<double> hard;
};

double shareOfDays(std::span<const DayValue> values, double from, double to) {
    const auto inside = std::count_if(values.begin(), values.end(), [&](const DayValue& day) {
        return day.value >= from && day.value <= to;
    });
    return 100.0 * static_cast<double>(inside) / static_cast<double>(values.size());
}

void takePeriod(const DiaryQuantity& quantity, const DiaryRun& run, std::span<const DayValue> values,
                PeriodValues& periods, DiaryScore& score) {
    if (quantity.kind == DiaryQuantityKind::stoolForm) {
        periods.loose.push_back(shareOfDays(values, firstLooseForm, *quantity.most));
        periods.hard.push_back(shareOfDays(values, quantity.least, lastHardForm));
        return;
    }
    double sum = 0.0;
    double worst = values.front().value;
    for (const DayValue& day : values) {
        sum += day.value;
        worst = std::max(worst, day.value);
    }
    periods.mean.push_back(sum / static_cast<double>(values.size()));
    if (quantity.kind == DiaryQuantityKind::stools) {
        return;
    }
    periods.worst.push_back(worst);
    score.any = score.any.value_or(false) || worst > quantity.least;
    if (quantity.threshold) {
        score.marked = score.marked.value_or(false) || worst >= *quantity.threshold;
    }
    if (const auto area = areaOf(run, values, score)) {
        periods.area.push_back(*area);
    }
}

DiaryScore scoreOf(const DiaryData& diary, const DiaryQuantity& quantity, std::span<const DiaryRun> runs) {
    DiaryScore score;
    score.subject = runs.front().subject;
    score.arm = runs.front().arm;
    score.row = runs.front().row;
    PeriodValues periods;
    for (const DiaryRun& run : runs) {
        ++score.periods;
        score.planned += run.planned();
        const std::vector<DayValue> values = valuesOf(diary, quantity, run);
        score.scored += values.size();
        if (!values.empty()) {
            takePeriod(quantity, run, values, periods, score);
        }
    }
    if (score.scored == 0) {
        score.absentBecause = "no day has this score";
        score.areaAbsentBecause = score.absentBecause;
        return score;
    }
    score.worst = mean(periods.worst);
    score.mean = mean(periods.mean);
    score.area = mean(periods.area);
    score.loosePercent = mean(periods.loose);
    score.hardPercent = mean(periods.hard);
    if (score.area && !score.areaAbsentBecause.empty()) {
        score.notes.push_back("the area leaves out a period: " + score.areaAbsentBecause);
        score.areaAbsentBecause.clear();
    }
    return score;
}

DiaryQuantity compositeOf(const DiaryData& diary) {
    DiaryQuantity composite;
    composite.kind = DiaryQuantityKind::composite;
    composite.id = "composite";
    double most = 0.0;
    for (const DiaryItem& item : diary.items) {
        if (item.composite) {
            composite.least += item.least;
            most += item.most;
        }
    }
    composite.most = most;
    composite.label = "Composite (" + plainNumber(composite.least) + " to " + plainNumber(most) + ")";
    return composite;
}

std::optional<double> compositeValue(const DiaryData& diary, const DiaryDay& day) {
    double least = 0.0;
    double range = 0.0;
    double rangePresent = 0.0;
    double above = 0.0;
    std::size_t items = 0;
    std::size_t present = 0;
    for (std::size_t i = 0; i < diary.items.size(); ++i) {
        const DiaryItem& item = diary.items[i];
        if (!item.composite) {
            continue;
        }
        ++items;
        least += item.least;
        range += item.most - item.least;
        if (i < day.scores.size() && day.scores[i]) {
            ++present;
            rangePresent += item.most - item.least;
            above += *day.scores[i] - item.least;
        }
    }
    if (present == items) {
        return least + above;
    }
    if (!diary.prorate || 2 * present < items || present == 0) {
        return std::nullopt;
    }
    return least + above * range / rangePresent;
}

template <class Value>
std::optional<double> asNumber(const std::optional<Value>& value) {
    return value ? std::optional{static_cast<double>(*value)} : std::nullopt;
}

}  // namespace

std::vector<DiaryQuantity> diaryQuantities(const DiaryData& diary) {
    std::vector<DiaryQuantity> quantities;
    for (std::size_t i = 0; i < diary.items.size(); ++i) {
        const DiaryItem& item = diary.items[i];
        quantities.push_back({DiaryQuantityKind::item, item.id, item.label, i,
                              static_cast<double>(item.least), static_cast<double>(item.most),
                              static_cast<double>(item.threshold)});
    }
    const auto counted = std::count_if(diary.items.begin(), diary.items.end(),
                                       [](const DiaryItem& item) { return item.composite; });
    if (counted > 1) {
        quantities.push_back(compositeOf(diary));
    }
    const auto says = [&diary](auto member) {
        return std::any_of(diary.days.begin(), diary.days.end(),
                           [member](const DiaryDay& day) { return bool(day.*member); });
    };
    if (says(&DiaryDay::stoolForm)) {
        quantities.push_back(
            {DiaryQuantityKind::stoolForm, "stool_form", "Stool form (1 to 7)", 0, 1.0, 7.0, {}});
    }
    if (says(&DiaryDay::stools)) {
        quantities.push_back({DiaryQuantityKind::stools, "stools", "Stools per day", 0, 0.0, {}, {}});
    }
    return quantities;
}

std::optional<double> dayValue(const DiaryData& diary, const DiaryQuantity& quantity, const DiaryDay& day) {
    switch (quantity.kind) {
        case DiaryQuantityKind::item:
            return quantity.item < day.scores.size() ? asNumber(day.scores[quantity.item]) : std::nullopt;
        case DiaryQuantityKind::composite:
            return compositeValue(diary, day);
        case DiaryQuantityKind::stoolForm:
            return asNumber(day.stoolForm);
        case DiaryQuantityKind::stools:
            break;
    }
    return asNumber(day.stools);
}

const DiaryMeasureKind& kindOf(DiaryMeasure measure) {
    return measures[static_cast<std::size_t>(measure)];
}

std::span<const DiaryMeasure> measuresOf(DiaryQuantityKind kind) {
    static constexpr std::array ofScores{DiaryMeasure::worst, DiaryMeasure::mean, DiaryMeasure::area};
    static constexpr std::array ofForms{DiaryMeasure::loosePercent, DiaryMeasure::hardPercent};
    static constexpr std::array ofCounts{DiaryMeasure::mean};
    switch (kind) {
        case DiaryQuantityKind::stoolForm:
            return ofForms;
        case DiaryQuantityKind::stools:
            return ofCounts;
        case DiaryQuantityKind::item:
        case DiaryQuantityKind::composite:
            break;
    }
    return ofScores;
}

std::optional<double> DiaryScore::value(DiaryMeasure measure) const {
    switch (measure) {
        case DiaryMeasure::worst:
            return worst;
        case DiaryMeasure::mean:
            return mean;
        case DiaryMeasure::area:
            return area;
        case DiaryMeasure::loosePercent:
            return loosePercent;
        case DiaryMeasure::hardPercent:
            break;
    }
    return hardPercent;
}

std::vector<DiaryScore> diaryScores(const DiaryData& diary, const DiaryRuns& runs,
                                    std::span<const DiaryQuantity> quantities) {
    std::vector<DiaryScore> scores;
    for (std::size_t q = 0; q < quantities.size(); ++q) {
        for (std::size_t first = 0; first < runs.runs.size();) {
            std::size_t last = first;
            while (last < runs.runs.size() && runs.runs[last].arm == runs.runs[first].arm &&
                   runs.runs[last].subject == runs.runs[first].subject) {
                ++last;
            }
            scores.push_back(
                scoreOf(diary, quantities[q], std::span{runs.runs}.subspan(first, last - first)));
            scores.back().quantity = q;
            first = last;
        }
    }
    return scores;
}

}  // namespace aftercurve
