#pragma once

#include <string>
#include <vector>

#include "core/study/study.h"
#include "tests/support/study_builder.h"

namespace aftercurve::test {

/// Times of the draws of each visit, min.
inline const std::vector<double> feedingTimes{-10, 0, 15, 30, 45, 60, 90, 120};

/// A study without any fault for the checks: subjects 01, 02, ... each with bread (reference) in two visits
/// and oats in one, glucose in mmol/L and insulin in pmol/L in the same rows, eight draws a visit. Values are
/// written by a formula with a scatter of its own for each, so that no two curves have equal numbers.
/// Invented; times in min.
class FeedingStudy {
  public:
    explicit FeedingStudy(std::size_t subjects = 8);

    /// The row of one draw; the study must have it.
    std::uint32_t draw(const std::string& subject, const std::string& food, int visit, double timeMin) const;

    /// One cell.
    std::optional<double>& cell(const std::string& subject, const std::string& food, int visit,
                                double timeMin, const std::string& analyte = "glucose");

    /// Multiplies the values of one analyte where `where` holds for the row.
    template <class Where>
    void scale(const std::string& analyte, double factor, Where where) {
        auto& column = study.concentrations[*findAnalyte(study, analyte)];
        for (std::size_t d = 0; d < study.draws.size(); ++d) {
            if (column[d] && where(study.draws[d])) {
                column[d] = *column[d] * factor;
            }
        }
    }

    /// A visits file in the order bread 1, oats 1, bread 2, ten days apart from 2026-02-01 on.
    void addVisits();

    Study study;
};

}  // namespace aftercurve::test
