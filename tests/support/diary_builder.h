#pragma once

#include <optional>
#include <string>
#include <vector>

#include "core/study/study.h"

namespace aftercurve::test {

/// An invented study of a drink (control) and a pea crispbread (test), and its diary row by row. Items run
/// from 0 to 3. Subjects are added as they come.
class DiaryBuilder {
  public:
    DiaryBuilder() {
        study_.foods.push_back({"drink", "Water drink", FoodRole::control, std::nullopt, std::nullopt});
        study_.foods.push_back({"crispbread", "Pea crispbread", FoodRole::test, std::nullopt, std::nullopt});
        study_.diary.file = "diary.csv";
    }

    DiaryBuilder& plannedDays(int days) {
        study_.diary.plannedDays = days;
        return *this;
    }

    DiaryBuilder& item(const std::string& id, bool composite = true) {
        study_.diary.items.push_back({id, "Label of " + id, 0, 3, composite, 2});
        return *this;
    }

    DiaryBuilder& day(const std::string& subject, const std::string& food, int number,
                      std::vector<std::optional<int>> scores, std::optional<double> doseG = {},
                      int period = 0) {
        if (!findSubject(study_, subject)) {
            study_.subjects.push_back({subject, "", "", std::nullopt, std::nullopt});
        }
        DiaryDay day;
        day.subject = subject;
        day.food = food;
        day.period = period;
        day.day = number;
        day.doseG = doseG;
        day.scores = std::move(scores);
        day.row = study_.diary.days.size() + 2;
        study_.diary.days.push_back(std::move(day));
        return *this;
    }

    Study& study() { return study_; }

  private:
    Study study_;
};

}  // namespace aftercurve::test
