#include "core/tolerance/diary_runs.h"

#include <algorithm>
#include <map>
#include <set>
#include <tuple>

#include "core/base/number_text.h"
#include "core/study/laboratory_exclusion.h"

namespace aftercurve {

namespace {

bool hasEntry(const DiaryDay& day) {
    return day.stoolForm || day.stools ||
           std::any_of(day.scores.begin(), day.scores.end(), [](const auto& score) { return bool(score); });
}

using PeriodKey = std::tuple<std::size_t, std::size_t, int>;  ///< food, subject, period

/// First and last planned day of an arm.
struct PlannedDays {
    int first = 0;
    int last = 0;
};

class Grouping {
  public:
    explicit Grouping(const Study& study) : study_(study), diary_(study.diary) {
        for (std::size_t i = 0; i < study.foods.size(); ++i) {
            foods_.emplace(study.foods[i].id, i);
        }
        for (std::size_t i = 0; i < study.subjects.size(); ++i) {
            subjects_.emplace(study.subjects[i].id, i);
        }
    }

    DiaryRuns group() {
        collectPeriods();
        giveDoses();
        nameArms();
        planDays();
        makeRuns();
        addAbsentSubjects();
        sortRuns();
        return std::move(result_);
    }

  private:
    void collectPeriods() {
        for (std::size_t i = 0; i < diary_.days.size(); ++i) {
            const DiaryDay& day = diary_.days[i];
            largestDay_ = std::max(largestDay_, day.day);
            const bool excluded = std::any_of(study_.exclusions.begin(), study_.exclusions.end(),
                                              [&](const Exclusion& one) { return excludesDay(one, day); });
            if (excluded) {
                ++result_.excludedDays;
                continue;
            }
            const auto food = foods_.find(day.food);
            const auto subject = subjects_.find(day.subject);
            if (food == foods_.end() || subject == subjects_.end()) {
                remark(i, "the subject or the food of this day is not in the study", true);
                continue;
            }
            periods_[{food->second, subject->second, day.period}].push_back(i);
        }
    }

    void remark(std::size_t day, std::string what, bool leftOut) {
        const DiaryDay& at = diary_.days[day];
        result_.remarks.push_back({at.subject, at.food, at.row, std::move(what), leftOut});
    }

    void giveDoses() {
        for (auto& [key, days] : periods_) {
            std::set<double> doses;
            std::vector<std::size_t> without;
            for (const std::size_t day : days) {
                if (diary_.days[day].doseG) {
                    doses.insert(*diary_.days[day].doseG);
                } else {
                    without.push_back(day);
                }
            }
            if (doses.size() > 1) {
                doseChanges_.insert(std::get<0>(key));
            }
            if (doses.empty() || without.empty()) {
                continue;
            }
            if (doses.size() == 1) {
                taken_.insert({key, *doses.begin()});
                remark(without.front(),
                       std::to_string(without.size()) + (without.size() == 1 ? " day gives" : " days give") +
                           " no dose and count with the only dose of the period, " +
                           plainNumber(*doses.begin()) + " g",
                       false);
                continue;
            }
            for (const std::size_t day : without) {
                remark(day,
                       "day " + std::to_string(diary_.days[day].day) +
                           " gives no dose in a period of several doses; it is left out",
                       true);
            }
            std::erase_if(days, [&](std::size_t day) { return !diary_.days[day].doseG; });
        }
    }

    std::optional<double> doseOf(const PeriodKey& key, std::size_t day) const {
        const auto taken = taken_.find(key);
        return taken != taken_.end() ? std::optional{taken->second} : diary_.days[day].doseG;
    }

    void nameArms() {
        std::set<std::pair<std::size_t, std::optional<double>>> arms;
        for (const auto& [key, days] : periods_) {
            for (const std::size_t day : days) {
                arms.insert({std::get<0>(key), doseOf(key, day)});
            }
        }
        for (const auto& [food, dose] : arms) {
            armOf_.emplace(std::pair{food, dose}, result_.arms.size());
            armFood_.push_back(food);
            result_.arms.push_back({study_.foods[food].id, dose});
        }
    }

    void planDays() {
        planned_.assign(result_.arms.size(), {});
        for (const auto& [key, days] : periods_) {
            for (const std::size_t day : days) {
                PlannedDays& planned = planned_[armOf_.at({std::get<0>(key), doseOf(key, day)})];
                const int number = diary_.days[day].day;
                planned.first = planned.first == 0 ? number : std::min(planned.first, number);
                planned.last = std::max(planned.last, number);
            }
        }
        for (std::size_t arm = 0; arm < planned_.size(); ++arm) {
            if (!doseChanges_.contains(armFood_[arm])) {
                planned_[arm] = {1, diary_.plannedDays > 0 ? diary_.plannedDays : largestDay_};
            }
        }
    }

    DiaryRun emptyRun(std::size_t subject, std::size_t arm, int period) const {
        DiaryRun run;
        run.subject = study_.subjects[subject].id;
        run.arm = arm;
        run.period = period;
        run.firstPlanned = planned_[arm].first;
        run.lastPlanned = planned_[arm].last;
        return run;
    }

    void makeRuns() {
        for (const auto& [key, days] : periods_) {
            const auto& [food, subject, period] = key;
            std::map<std::size_t, DiaryRun> byArm;
            for (const std::size_t day : days) {
                const std::size_t arm = armOf_.at({food, doseOf(key, day)});
                DiaryRun& run = byArm.try_emplace(arm, emptyRun(subject, arm, period)).first->second;
                const DiaryDay& at = diary_.days[day];
                run.row = run.row == 0 ? at.row : std::min(run.row, at.row);
                if (at.day > run.lastPlanned) {
                    remark(day,
                           "day " + std::to_string(at.day) + " comes after the " +
                               std::to_string(run.lastPlanned) + " planned days; it is left out",
                           true);
                } else if (hasEntry(at)) {
                    run.days.push_back(day);
                }
            }
            for (auto& [arm, run] : byArm) {
                present_.insert({subject, arm});
                result_.runs.push_back(std::move(run));
            }
        }
    }

    /// Subjects with a diary, but none of an arm.
    void addAbsentSubjects() {
        std::set<std::size_t> writers;
        for (const auto& [subject, arm] : present_) {
            writers.insert(subject);
        }
        for (const std::size_t subject : writers) {
            for (std::size_t arm = 0; arm < result_.arms.size(); ++arm) {
                if (!present_.contains({subject, arm}) && !isExcluded(subject, arm)) {
                    result_.runs.push_back(emptyRun(subject, arm, 0));
                }
            }
        }
    }

    bool isExcluded(std::size_t subject, std::size_t arm) const {
        DiaryDay day;
        day.subject = study_.subjects[subject].id;
        day.food = result_.arms[arm].food;
        return std::any_of(study_.exclusions.begin(), study_.exclusions.end(),
                           [&](const Exclusion& one) { return excludesDay(one, day); });
    }

    void sortRuns() {
        for (DiaryRun& run : result_.runs) {
            std::sort(run.days.begin(), run.days.end(),
                      [&](std::size_t a, std::size_t b) { return diary_.days[a].day < diary_.days[b].day; });
            std::size_t next = 0;
            for (int day = run.firstPlanned; day <= run.lastPlanned; ++day) {
                if (next < run.days.size() && diary_.days[run.days[next]].day == day) {
                    ++next;
                } else {
                    run.missing.push_back(day);
                }
            }
        }
        std::sort(result_.runs.begin(), result_.runs.end(), [&](const DiaryRun& a, const DiaryRun& b) {
            return std::tuple{a.arm, subjects_.at(a.subject), a.period} <
                   std::tuple{b.arm, subjects_.at(b.subject), b.period};
        });
        std::sort(result_.remarks.begin(), result_.remarks.end(),
                  [](const DiaryRemark& a, const DiaryRemark& b) {
                      return std::tie(a.row, a.what) < std::tie(b.row, b.what);
                  });
    }

    const Study& study_;
    const DiaryData& diary_;
    std::map<std::string, std::size_t> foods_;
    std::map<std::string, std::size_t> subjects_;
    std::map<PeriodKey, std::vector<std::size_t>> periods_;
    std::map<PeriodKey, double> taken_;
    std::set<std::size_t> doseChanges_;  ///< foods whose dose changes within a period
    std::map<std::pair<std::size_t, std::optional<double>>, std::size_t> armOf_;
    std::vector<std::size_t> armFood_;
    std::vector<PlannedDays> planned_;
    std::set<std::pair<std::size_t, std::size_t>> present_;  ///< subject, arm
    int largestDay_ = 0;
    DiaryRuns result_;
};

}  // namespace

bool excludesDay(const Exclusion& exclusion, const DiaryDay& day) {
    return !isOfLaboratory(exclusion) && exclusion.analyte.empty() && !exclusion.timeMin &&
           (exclusion.subject.empty() || exclusion.subject == day.subject) &&
           (exclusion.food.empty() || exclusion.food == day.food) &&
           (!exclusion.visit || *exclusion.visit == std::max(day.period, 1));
}

DiaryRuns diaryRuns(const Study& study) {
    return Grouping{study}.group();
}

std::string doseText(const std::optional<double>& doseG) {
    return doseG ? plainNumber(*doseG) + " g" : std::string{};
}

}  // namespace aftercurve
