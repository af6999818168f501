// Models of curves against R on 51 studies: tests/reference/time_course.R. There each fit is made from whole
// matrices with numerical derivatives and by a package (lmerTest; nlme's lme and gls), columns package_*.
#include <gtest/gtest.h>

#include <algorithm>
#include <map>
#include <string>
#include <vector>

#include "core/compare/time_course.h"
#include "tests/support/close.h"
#include "tests/support/reference_csv.h"

namespace aftercurve {
namespace {

using test::isClose;
using test::readReference;
using test::ReferenceRow;

std::size_t indexOf(const ReferenceRow& row, const std::string& column) {
    return static_cast<std::size_t>(row.number(column).value());
}

struct Study {
    TimeCourseData data;
    CurveCovariance covariance = CurveCovariance::independent;
};

std::map<std::string, Study> readStudies() {
    std::map<std::string, Study> studies;
    for (const ReferenceRow& row : readReference("time_course_rows.csv")) {
        TimeCourseData& data = studies[row.text("study")].data;
        const std::size_t food = indexOf(row, "food") - 1;
        while (data.foods.size() <= food) {
            data.foods.push_back("food " + std::to_string(data.foods.size() + 1));
        }
        const double minutes = row.number("time_min").value();
        const auto found = std::find(data.timesMin.begin(), data.timesMin.end(), minutes);
        const auto time = static_cast<std::size_t>(found - data.timesMin.begin());
        if (found == data.timesMin.end()) {
            data.timesMin.push_back(minutes);
        }
        TimeCourseRow r{indexOf(row, "subject"),     food, indexOf(row, "visit"), time,
                        row.number("value").value(), {}};
        if (row.number("period")) {
            r.period = indexOf(row, "period") - 1;
            while (data.periods.size() <= *r.period) {
                data.periods.push_back("period " + std::to_string(data.periods.size() + 1));
            }
        }
        data.rows.push_back(r);
    }
    for (const ReferenceRow& row : readReference("time_course_fits.csv")) {
        const std::string word = row.text("covariance");
        studies[row.text("study")].covariance = word == "independent" ? CurveCovariance::independent
                                                : word == "ar1"       ? CurveCovariance::continuousTimeAr1
                                                                      : CurveCovariance::unstructured;
    }
    return studies;
}

class TimeCourseAgainstR : public testing::Test {
  protected:
    std::map<std::string, Study> studies_ = readStudies();
    std::map<std::string, TimeCourse> fits_;

    void SetUp() override {
        ASSERT_EQ(studies_.size(), 51U);
        for (const auto& [name, study] : studies_) {
            fits_[name] = fit(study, TimeCourseFamily::timesOfFood);
        }
    }

    static TimeCourse fit(const Study& study, TimeCourseFamily family) {
        TimeCourseOptions options;
        options.covariance = study.covariance;
        options.comparator = 0;
        options.family = family;
        return timeCourse(study.data, options);
    }

    /// The mean or difference of a row's food and time.
    template <class T>
    const T& found(const std::vector<T>& list, const ReferenceRow& row) const {
        const std::vector<double>& times = studies_.at(row.text("study")).data.timesMin;
        const auto it = std::find_if(list.begin(), list.end(), [&](const T& x) {
            return x.food + 1 == indexOf(row, "food") && times[x.time] == row.number("time_min").value();
        });
        if (it == list.end()) {
            ADD_FAILURE() << row.text("study");
            static const T none;
            return none;
        }
        return *it;
    }
};

TEST_F(TimeCourseAgainstR, VariancesAndLikelihood) {
    std::map<std::string, std::size_t> agreeing;
    std::size_t boundaries = 0;
    for (const ReferenceRow& row : readReference("time_course_fits.csv")) {
        const std::string name = row.text("study");
        const TimeCourse& r = fits_.at(name);
        ASSERT_TRUE(r.absentBecause.empty()) << name << ": " << r.absentBecause;
        EXPECT_TRUE(r.converged);
        EXPECT_EQ(static_cast<double>(r.rows), row.number("rows")) << name;
        EXPECT_TRUE(
            isClose(r.remlLogLikelihood, row.number("log_likelihood"), {.absolute = 1e-8, .relative = 1e-9}))
            << name;
        EXPECT_TRUE(isClose(r.aic, row.number("aic"), {.absolute = 1e-7, .relative = 1e-9})) << name;
        EXPECT_TRUE(isClose(r.bic, row.number("bic"), {.absolute = 1e-7, .relative = 1e-9})) << name;
        const auto scale =
            row.number("variance_residual") ? row.number("variance_residual") : row.number("within_11");
        const test::Tolerance tolerance{.absolute = 2e-5 * scale.value(), .relative = 2e-5};
        EXPECT_TRUE(isClose(r.varianceSubject, row.number("variance_subject"), tolerance)) << name;
        EXPECT_TRUE(isClose(r.varianceSubjectFood, row.number("variance_subject_food"), tolerance)) << name;
        EXPECT_TRUE(isClose(r.varianceCurve, row.number("variance_curve"), tolerance)) << name;
        EXPECT_TRUE(isClose(r.varianceResidual, row.number("variance_residual"), tolerance)) << name;
        EXPECT_TRUE(isClose(r.rho, row.number("rho"), {.absolute = 2e-5})) << name;
        if (row.number("within_11")) {
            const std::size_t times = r.withinTimes.size();
            EXPECT_TRUE(isClose(r.withinCovariance.at(0), row.number("within_11").value(), tolerance))
                << name;
            EXPECT_TRUE(isClose(r.withinCovariance.at(times), row.number("within_21").value(), tolerance))
                << name;
            EXPECT_TRUE(isClose(r.withinCovariance.at(times + 1), row.number("within_22").value(), tolerance))
                << name;
        }
        std::size_t zeros = 0;
        for (const char* column : {"variance_subject", "variance_subject_food", "variance_curve", "rho"}) {
            zeros += row.number(column) == 0.0 ? 1U : 0U;
        }
        EXPECT_EQ(r.boundary.size(), zeros) << name;
        boundaries += zeros > 0 ? 1U : 0U;
        if (row.number("package_agrees") == 1.0) {
            EXPECT_TRUE(
                isClose(r.remlLogLikelihood, row.number("package_log_likelihood"), {.absolute = 1e-6}))
                << name;
            ++agreeing[row.text("covariance")];
        }
    }
    EXPECT_GE(boundaries, 6U);
    EXPECT_GE(agreeing["ar1"], 8U);
    EXPECT_GE(agreeing["unstructured"], 12U);
}

TEST_F(TimeCourseAgainstR, TypeThreeTests) {
    std::size_t packages = 0;
    for (const ReferenceRow& row : readReference("time_course_terms.csv")) {
        const std::string name = row.text("study") + " " + row.text("term");
        const TimeCourse& r = fits_.at(row.text("study"));
        const auto term = std::find_if(r.terms.begin(), r.terms.end(),
                                       [&](const auto& t) { return t.term == row.text("term"); });
        ASSERT_NE(term, r.terms.end()) << name;
        EXPECT_EQ(static_cast<double>(term->numeratorDf), row.number("num_df")) << name;
        EXPECT_TRUE(isClose(term->f, row.number("f"), {.relative = 2e-5})) << name;
        EXPECT_TRUE(isClose(term->denominatorDf, row.number("den_df"), {.relative = 2e-4})) << name;
        EXPECT_TRUE(isClose(term->p, row.number("p"), {.relative = 1e-3})) << name;
        if (row.number("package_f")) {
            EXPECT_TRUE(isClose(term->f, row.number("package_f"), {.relative = 1e-4})) << name;
            ++packages;
        }
        if (row.number("package_den_df")) {
            EXPECT_TRUE(isClose(term->denominatorDf, row.number("package_den_df"), {.relative = 2e-4}))
                << name;
        }
    }
    EXPECT_GE(packages, 120U);
}

TEST_F(TimeCourseAgainstR, MeansOfFoodsAtTimes) {
    for (const ReferenceRow& row : readReference("time_course_means.csv")) {
        const TimeCourseMean& mean = found(fits_.at(row.text("study")).means, row);
        const double se = row.number("se").value();
        EXPECT_TRUE(isClose(mean.estimate, row.number("estimate"), {.absolute = 1e-5 * se}))
            << row.text("study");
        EXPECT_TRUE(isClose(mean.se, row.number("se"), {.relative = 1e-5})) << row.text("study");
        EXPECT_TRUE(isClose(mean.df, row.number("df"), {.relative = 2e-4})) << row.text("study");
        if (row.number("package_se")) {
            EXPECT_TRUE(isClose(mean.estimate, row.number("package_estimate"), {.absolute = 1e-4 * se}));
            EXPECT_TRUE(isClose(mean.se, row.number("package_se"), {.relative = 1e-4})) << row.text("study");
        }
    }
}

TEST_F(TimeCourseAgainstR, DifferencesAtTimes) {
    std::map<std::string, TimeCourse> together;
    for (const auto& [name, study] : studies_) {
        together[name] = fit(study, TimeCourseFamily::all);
    }
    std::size_t compared = 0;
    for (const ReferenceRow& row : readReference("time_course_differences.csv")) {
        const std::string name = row.text("study");
        const TimeCourseDifference& d = found(fits_.at(name).differences, row);
        const double se = row.number("se").value();
        EXPECT_TRUE(isClose(d.estimate, row.number("estimate"), {.absolute = 1e-5 * se})) << name;
        EXPECT_TRUE(isClose(d.se, row.number("se"), {.relative = 1e-5})) << name;
        EXPECT_TRUE(isClose(d.df, row.number("df"), {.relative = 2e-4})) << name;
        EXPECT_TRUE(isClose(d.t, row.number("t"), {.absolute = 1e-5, .relative = 2e-5})) << name;
        EXPECT_TRUE(isClose(d.p, row.number("p"), {.relative = 1e-3})) << name;
        EXPECT_TRUE(isClose(d.pAdjusted, row.number("p_holm_food"), {.relative = 1e-3})) << name;
        EXPECT_TRUE(isClose(found(together.at(name).differences, row).pAdjusted, row.number("p_holm_all"),
                            {.relative = 1e-3}))
            << name;
        EXPECT_TRUE(isClose(d.ciLow, row.number("ci_low"), {.absolute = 2e-4 * se})) << name;
        EXPECT_TRUE(isClose(d.ciHigh, row.number("ci_high"), {.absolute = 2e-4 * se})) << name;
        if (row.number("package_se")) {
            EXPECT_TRUE(isClose(d.se, row.number("package_se"), {.relative = 1e-4})) << name;
        }
        if (row.number("package_df")) {
            EXPECT_TRUE(isClose(d.df, row.number("package_df"), {.relative = 2e-4})) << name;
        }
        ++compared;
    }
    EXPECT_GE(compared, 250U);
}

}  // namespace
}  // namespace aftercurve
