// Residuals and subject effects of a mixed model: lme4 1.1-31 (residuals, fitted, ranef; 17 invented values),
// and what must hold by construction.
#include "core/compare/model_residuals.h"

#include <gtest/gtest.h>

#include <cmath>
#include <limits>

#include "tests/support/close.h"

namespace aftercurve {
namespace {

using test::isClose;

MixedModelData data() {
    const double y[] = {4.1, 2.2, 3.3, 6.9, 4.7, 5.6, 2.4, 0.9, 0.1, 6.0, 3.0, 4.6, 7.2, 5.1, 6.8, 1.0, 0.1};
    const std::size_t subject[] = {1, 1, 1, 2, 2, 2, 3, 3, 3, 4, 4, 4, 5, 5, 5, 6, 6};
    const std::size_t food[] = {0, 1, 2, 1, 2, 0, 2, 0, 1, 0, 2, 1, 1, 0, 2, 2, 1};
    MixedModelData given;
    given.factors = {{"food", {"a", "b", "c"}, false}};
    for (std::size_t i = 0; i < 17; ++i) {
        given.rows.push_back({subject[i] * 10, {food[i]}, y[i]});
    }
    return given;
}

TEST(ModelResiduals, AgreeWithLme4) {
    const double expected[] = {0.6576718797887,  -0.9319924871828, 0.1513408461505,  1.4786429871815,
                               -0.7380236794852, -0.1316926458469, 1.1189803275901,  -0.6746886387717,
                               -1.1643530057432, 1.3527431820857,  -1.3535878515525, 0.2630788151142,
                               1.2063018557726,  -1.2040337772559, 0.7896351891059,  0.0316551681911,
                               -0.8516781651423};
    const double effects[] = {-0.384674179484, 1.904690346152, -2.252313660923,
                              0.820254518219,  2.477031477561, -2.564988501524};
    const MixedModelData given = data();
    const ModelResiduals found = modelResiduals(given, mixedModel(given, {}));
    ASSERT_TRUE(found.absentBecause.empty()) << found.absentBecause;
    ASSERT_EQ(found.residuals.size(), 17U);
    for (std::size_t i = 0; i < 17; ++i) {
        EXPECT_TRUE(isClose(found.residuals[i].residual, expected[i], {.absolute = 1e-6, .relative = 1e-6}));
        EXPECT_TRUE(isClose(found.residuals[i].fitted + found.residuals[i].residual, given.rows[i].value,
                            {.relative = 1e-13}));
        EXPECT_TRUE(isClose(*found.residuals[i].scaled, expected[i] / 1.26011637961,
                            {.absolute = 1e-6, .relative = 1e-6}));
    }
    ASSERT_EQ(found.subjects.size(), 6U);
    double sum = 0.0;
    for (std::size_t s = 0; s < 6; ++s) {
        EXPECT_EQ(found.subjects[s].subject, 10 * (s + 1));
        EXPECT_TRUE(isClose(found.subjects[s].effect, effects[s], {.absolute = 1e-6, .relative = 1e-6}));
        sum += found.subjects[s].effect;
    }
    EXPECT_NEAR(sum, 0.0, 1e-10);
    EXPECT_EQ(found.residualQuantiles.points.size(), 17U);
    EXPECT_EQ(found.subjectQuantiles.points.size(), 6U);
}

TEST(ModelResiduals, ShiftLeavesThemAndScaleScalesThem) {
    MixedModelData given = data();
    const ModelResiduals before = modelResiduals(given, mixedModel(given, {}));
    for (MixedModelRow& row : given.rows) {
        row.value = 1024.0 * (row.value + 3.0);
    }
    const ModelResiduals after = modelResiduals(given, mixedModel(given, {}));
    for (std::size_t i = 0; i < 17; ++i) {
        EXPECT_TRUE(isClose(after.residuals[i].residual, 1024.0 * before.residuals[i].residual,
                            {.absolute = 1e-9, .relative = 1e-7}));
        EXPECT_TRUE(isClose(*after.residuals[i].scaled, *before.residuals[i].scaled,
                            {.absolute = 1e-9, .relative = 1e-7}));
    }
}

TEST(ModelResiduals, AtTheBoundaryTheyAreThoseOfALinearModel) {
    MixedModelData given = data();
    // Subjects that do not differ: the residual is value − mean of its food.
    const double y[] = {4, 1, 2, 2, 3, 3, 1, 5, 3, 4, 2, 2, 1, 5, 3, 2, 2};
    for (std::size_t i = 0; i < 17; ++i) {
        given.rows[i].value = y[i];
    }
    const MixedModel model = mixedModel(given, {});
    ASSERT_TRUE(model.boundary);
    const ModelResiduals found = modelResiduals(given, model);
    // Food a: 4 3 5 4 5, mean 4.2.
    EXPECT_TRUE(isClose(found.residuals[0].fitted, 4.2, {.relative = 1e-12}));
    for (const SubjectEffect& subject : found.subjects) {
        EXPECT_EQ(subject.effect, 0.0);
    }
}

TEST(ModelResiduals, AreAbsentWithTheModel) {
    MixedModelData given = data();
    given.rows.resize(1);
    const ModelResiduals one = modelResiduals(given, mixedModel(given, {}));
    EXPECT_FALSE(one.absentBecause.empty());
    EXPECT_TRUE(one.residuals.empty());
    given = data();
    given.rows[3].value = std::numeric_limits<double>::infinity();
    EXPECT_FALSE(modelResiduals(given, mixedModel(given, {})).absentBecause.empty());
    for (const double size : {1e-300, 1e300}) {
        given = data();
        for (MixedModelRow& row : given.rows) {
            row.value *= size;
        }
        for (const ModelResidual& residual : modelResiduals(given, mixedModel(given, {})).residuals) {
            EXPECT_TRUE(std::isfinite(residual.residual) && std::isfinite(residual.fitted));
        }
    }
}

}  // namespace
}  // namespace aftercurve
