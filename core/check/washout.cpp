// Days between the visits of a subject.
#include <algorithm>
#include <charconv>
#include <chrono>

#include "core/base/number_text.h"
#include "core/check/checks.h"
#include "core/check/found.h"

namespace aftercurve::checks {

namespace {

constexpr std::string_view key = "washout";

/// Days since 1970 of YYYY-MM-DD; nothing where it is no date.
std::optional<std::chrono::sys_days> dayOf(const std::string& date) {
    if (date.size() != 10 || date[4] != '-' || date[7] != '-') {
        return std::nullopt;
    }
    const auto number = [&date](std::size_t from, std::size_t length) {
        int value = -1;
        const char* end = date.data() + from + length;
        return std::from_chars(date.data() + from, end, value).ptr == end ? value : -1;
    };
    const int year = number(0, 4);
    const int month = number(5, 2);
    const int day = number(8, 2);
    if (year < 0 || month < 1 || day < 1) {
        return std::nullopt;
    }
    const std::chrono::year_month_day ymd{std::chrono::year{year},
                                          std::chrono::month{static_cast<unsigned>(month)},
                                          std::chrono::day{static_cast<unsigned>(day)}};
    return ymd.ok() ? std::optional{std::chrono::sys_days{ymd}} : std::nullopt;
}

struct Dated {
    const VisitRecord* record;
    std::chrono::sys_days day;
};

void tellMissing(const CheckInput& input, Found& found) {
    if (!input.plan.washoutDays) {
        return;
    }
    const std::string asked =
        "the plan asks for " + plainNumber(*input.plan.washoutDays) + " days between visits, but ";
    if (input.study.visits.empty()) {
        found.add(Severity::note, [&] {
            Problem p;
            p.file = "study.json";
            p.column = "plan.washout_days";
            p.what = asked + "the study has no visits file with dates";
            p.remedy = "name a visits file, or take washout_days out of the plan";
            return p;
        });
        return;
    }
    for (const CheckVisit& visit : input.visits) {
        if (!visit.record || !dayOf(input.study.visits[*visit.record].date)) {
            found.add(Severity::note, [&] {
                Problem p = visit.record ? problemAtRecord(input, input.study.visits[*visit.record])
                                         : problemAt(input, visit);
                p.column = "date";
                p.what += ": " + asked + "this visit has no date";
                p.remedy = "give its date in " + input.study.visitsFile;
                return p;
            });
        }
    }
}

std::vector<Problem> run(const CheckInput& input) {
    Found found{input, key};
    std::vector<std::vector<Dated>> subjects(input.study.subjects.size());
    for (const VisitRecord& record : input.study.visits) {
        if (const auto day = dayOf(record.date)) {
            subjects[record.subject].push_back({&record, *day});
        }
    }
    for (std::vector<Dated>& visits : subjects) {
        std::stable_sort(visits.begin(), visits.end(),
                         [](const Dated& a, const Dated& b) { return a.day < b.day; });
        for (std::size_t i = 1; i < visits.size(); ++i) {
            const auto days = (visits[i].day - visits[i - 1].day).count();
            const bool sameDay = days == 0;
            if (!sameDay &&
                !(input.plan.washoutDays && static_cast<double>(days) < *input.plan.washoutDays)) {
                continue;
            }
            found.add(Severity::warning, [&] {
                const VisitRecord& before = *visits[i - 1].record;
                Problem p = problemAtRecord(input, *visits[i].record);
                p.column = "date";
                const std::string other = input.study.foods[before.food].id + ", visit " +
                                          std::to_string(before.visit) + " (" + before.date + ")";
                p.what +=
                    ", " + visits[i].record->date + ": " +
                    (sameDay ? "on the same day as " + other
                             : std::to_string(days) + (days == 1 ? " day" : " days") + " after " + other +
                                   "; the plan asks for " + plainNumber(*input.plan.washoutDays));
                p.remedy = "check the two dates; an effect of the earlier meal may carry over";
                return p;
            });
        }
    }
    tellMissing(input, found);
    return found.take();
}

}  // namespace

Check washout() {
    return {key, "Washout too short", "the plan's washout_days; two visits on one day whatever it says", run};
}

}  // namespace aftercurve::checks
