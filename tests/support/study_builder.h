#pragma once

#include <optional>
#include <string>
#include <vector>

#include "core/study/study.h"

namespace aftercurve::test {

/// Puts a small study together in a test. One analyte a call of `curve`; rows get line numbers from 2 on.
class StudyBuilder {
  public:
    StudyBuilder() { study_.sampleFiles = {"samples.csv"}; }

    StudyBuilder& food(const std::string& id, FoodRole role) {
        study_.foods.push_back({id, "Label of " + id, role, std::nullopt, std::nullopt});
        return *this;
    }

    StudyBuilder& analyte(const std::string& id, const std::string& unit) {
        study_.analytes.push_back({id, unit, ""});
        study_.concentrations.emplace_back(study_.draws.size(), std::nullopt);
        return *this;
    }

    /// Values of one analyte; the other analytes of these rows stay empty.
    StudyBuilder& curve(const std::string& subject, const std::string& food, int visit,
                        const std::vector<double>& timeMin, const std::vector<std::optional<double>>& value,
                        const std::string& analyte = "glucose") {
        if (!findSubject(study_, subject)) {
            study_.subjects.push_back({subject, "", "", std::nullopt, std::nullopt});
        }
        for (std::size_t i = 0; i < timeMin.size(); ++i) {
            Draw draw;
            draw.subject = static_cast<std::uint32_t>(*findSubject(study_, subject));
            draw.food = static_cast<std::uint32_t>(*findFood(study_, food));
            draw.visit = visit;
            draw.timeMin = timeMin[i];
            draw.row = static_cast<std::uint32_t>(study_.draws.size() + 2);
            study_.draws.push_back(draw);
            for (auto& column : study_.concentrations) {
                column.emplace_back(std::nullopt);
            }
            study_.concentrations[*findAnalyte(study_, analyte)].back() = value[i];
        }
        return *this;
    }

    Study& study() { return study_; }

  private:
    Study study_;
};

}  // namespace aftercurve::test
