// The mixed model against R on 67 studies: tests/reference/models.R (lme4, lmerTest, emmeans, pbkrtest). The
// variance ratio of R is refined there, so that estimates, SE and all of Kenward–Roger hold to 9 digits;
// Satterthwaite's df come from numerical second derivatives there and hold to about 7.
#include <gtest/gtest.h>

#include <algorithm>
#include <map>
#include <optional>
#include <string>
#include <vector>

#include "core/compare/mixed_model.h"
#include "tests/support/close.h"
#include "tests/support/reference_csv.h"

namespace aftercurve {
namespace {

using test::isClose;
using test::readReference;
using test::ReferenceRow;
using test::Tolerance;

constexpr std::size_t studyCount = 67;

std::size_t positionOf(std::vector<std::string>& names, const std::string& name) {
    const auto found = std::find(names.begin(), names.end(), name);
    if (found != names.end()) {
        return static_cast<std::size_t>(found - names.begin());
    }
    names.push_back(name);
    return names.size() - 1;
}

/// The levels of a factor in the order of R: sorted.
std::map<std::string, MixedModelData> readStudies() {
    std::map<std::string, std::vector<ReferenceRow>> byStudy;
    for (const ReferenceRow& row : readReference("models_rows.csv")) {
        byStudy[row.text("study")].push_back(row);
    }
    std::map<std::string, MixedModelData> studies;
    for (const auto& [name, rows] : byStudy) {
        MixedModelData data;
        std::vector<std::string> subjects;
        for (const std::string factor : {"food", "period", "sequence"}) {
            std::vector<std::string> levels;
            for (const ReferenceRow& row : rows) {
                positionOf(levels, row.text(factor));
            }
            std::sort(levels.begin(), levels.end());
            if (levels.front() != "NA") {
                data.factors.push_back({factor, levels});
            }
        }
        for (const ReferenceRow& row : rows) {
            MixedModelRow r;
            r.subject = positionOf(subjects, row.text("subject"));
            r.value = row.number("value").value();
            for (ModelFactor& factor : data.factors) {
                r.levels.push_back(positionOf(factor.levels, row.text(factor.name)));
            }
            data.rows.push_back(std::move(r));
        }
        studies[name] = std::move(data);
    }
    return studies;
}

class ModelAgainstR : public testing::Test {
  protected:
    std::map<std::string, MixedModelData> studies_ = readStudies();
    std::map<std::string, MixedModel> fits_;

    void SetUp() override {
        ASSERT_EQ(studies_.size(), studyCount);
        for (const auto& [name, data] : studies_) {
            for (const auto& [method, word] : std::map<DfMethod, std::string>{
                     {DfMethod::satterthwaite, "satterthwaite"}, {DfMethod::kenwardRoger, "kenward-roger"}}) {
                MixedModelOptions options;
                options.dfMethod = method;
                fits_[name + "/" + word] = mixedModel(data, options);
            }
        }
    }

    static std::string keyOf(const ReferenceRow& row) { return row.text("study") + "/" + row.text("method"); }

    static bool isNumerical(const ReferenceRow& row) { return row.text("method") == "satterthwaite"; }

    static Tolerance exact() { return {.relative = 1e-9}; }
    static Tolerance forDf(const ReferenceRow& row) { return {.relative = isNumerical(row) ? 2e-6 : 1e-9}; }
    static Tolerance forP(const ReferenceRow& row) { return {.relative = isNumerical(row) ? 1e-5 : 1e-8}; }

    /// In proportion to the SE: an estimate or an end of its interval may lie near 0.
    static Tolerance bySe(const ReferenceRow& row) {
        return {.absolute = 1e-9 * row.number("se").value_or(0.0), .relative = 1e-11};
    }
    static Tolerance forEnds(const ReferenceRow& row) {
        return {.absolute = (isNumerical(row) ? 1e-6 : 1e-9) * row.number("se").value_or(0.0),
                .relative = 1e-11};
    }
};

TEST_F(ModelAgainstR, VariancesAndLogLikelihood) {
    std::size_t boundaries = 0;
    std::size_t incomplete = 0;
    for (const ReferenceRow& row : readReference("models_fits.csv")) {
        const MixedModel& fit = fits_.at(row.text("study") + "/satterthwaite");
        EXPECT_EQ(static_cast<double>(fit.rows), row.number("rows"));
        EXPECT_EQ(static_cast<double>(fit.dropped.size()), row.number("dropped")) << row.text("study");
        const double residual = row.number("variance_residual").value();
        const double subject = row.number("variance_subject").value();
        EXPECT_TRUE(isClose(fit.varianceResidual, residual, exact())) << row.text("study");
        EXPECT_TRUE(isClose(fit.varianceSubject, subject, {.absolute = 1e-9 * residual, .relative = 1e-9}))
            << row.text("study");
        EXPECT_EQ(fit.boundary, subject == 0.0) << row.text("study");
        EXPECT_TRUE(isClose(fit.remlLogLikelihood, row.number("log_likelihood"), {.relative = 1e-11}))
            << row.text("study");
        boundaries += fit.boundary ? 1U : 0U;
        incomplete += fit.dropped.empty() ? 0U : 1U;
    }
    EXPECT_GE(boundaries, 8U);
    EXPECT_EQ(incomplete, 3U);
}

TEST_F(ModelAgainstR, TypeThreeTests) {
    std::size_t compared = 0;
    for (const ReferenceRow& row : readReference("models_terms.csv")) {
        const std::string key = keyOf(row);
        const MixedModel& fit = fits_.at(key);
        const auto term = std::find_if(fit.terms.begin(), fit.terms.end(),
                                       [&](const ModelTerm& t) { return t.factor == row.text("term"); });
        ASSERT_NE(term, fit.terms.end()) << key;
        EXPECT_EQ(static_cast<double>(term->numeratorDf), row.number("num_df")) << key;
        EXPECT_TRUE(isClose(term->denominatorDf, row.number("den_df"), forDf(row))) << key << term->factor;
        EXPECT_TRUE(isClose(term->f, row.number("f"), exact())) << key << term->factor;
        EXPECT_TRUE(isClose(term->p, row.number("p"), forP(row))) << key << term->factor;
        ++compared;
    }
    EXPECT_GT(compared, 250U);
}

TEST_F(ModelAgainstR, MarginalMeans) {
    std::size_t absent = 0;
    for (const ReferenceRow& row : readReference("models_means.csv")) {
        const std::string key = keyOf(row);
        const MixedModelData& data = studies_.at(row.text("study"));
        const MixedModel& fit = fits_.at(key);
        const auto mean = std::find_if(fit.means.begin(), fit.means.end(), [&](const ModelMean& m) {
            return data.factors[0].levels[m.level] == row.text("food");
        });
        ASSERT_NE(mean, fit.means.end()) << key;
        EXPECT_TRUE(isClose(mean->estimate, row.number("estimate"), bySe(row))) << key;
        EXPECT_TRUE(isClose(mean->se, row.number("se"), exact())) << key;
        EXPECT_TRUE(isClose(mean->df, row.number("df"), forDf(row))) << key;
        EXPECT_TRUE(isClose(mean->ciLow, row.number("ci_low"), forEnds(row))) << key;
        EXPECT_TRUE(isClose(mean->ciHigh, row.number("ci_high"), forEnds(row))) << key;
        EXPECT_EQ(mean->absentBecause.empty(), row.number("estimate").has_value()) << key;
        absent += mean->absentBecause.empty() ? 0U : 1U;
    }
    EXPECT_EQ(absent, 18U);
}

TEST_F(ModelAgainstR, Differences) {
    std::size_t compared = 0;
    for (const ReferenceRow& row : readReference("models_differences.csv")) {
        const std::string key = keyOf(row);
        const std::vector<std::string>& foods = studies_.at(row.text("study")).factors[0].levels;
        const MixedModel& fit = fits_.at(key);
        const auto d =
            std::find_if(fit.differences.begin(), fit.differences.end(), [&](const ModelDifference& x) {
                return foods[x.level] == row.text("food") && foods[x.minus] == row.text("minus");
            });
        ASSERT_NE(d, fit.differences.end()) << key;
        EXPECT_TRUE(isClose(d->estimate, row.number("estimate"), bySe(row))) << key;
        EXPECT_TRUE(isClose(d->se, row.number("se"), exact())) << key;
        EXPECT_TRUE(isClose(d->df, row.number("df"), forDf(row))) << key;
        EXPECT_TRUE(isClose(d->t, row.number("t"), {.absolute = 1e-9, .relative = 1e-9})) << key;
        EXPECT_TRUE(isClose(d->p, row.number("p"), forP(row))) << key;
        EXPECT_TRUE(isClose(d->ciLow, row.number("ci_low"), forEnds(row))) << key;
        EXPECT_TRUE(isClose(d->ciHigh, row.number("ci_high"), forEnds(row))) << key;
        ++compared;
    }
    EXPECT_GT(compared, 400U);
}

}  // namespace
}  // namespace aftercurve
