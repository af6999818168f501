#include "core/edit/convert_unit.h"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include "tests/support/study_builder.h"

namespace aftercurve {
namespace {

using testing::HasSubstr;

Study twoSubjects() {
    test::StudyBuilder builder;
    builder.food("drink", FoodRole::reference).analyte("glucose", "mmol/L");
    builder.curve("01", "drink", 1, {0, 30}, {90.08, 144.128});  // typed in mg/dL: 5 and 8 mmol/L
    builder.curve("02", "drink", 1, {0, 30}, {5.0, 8.0});
    return builder.study();
}

void applyAll(Study& study, const std::vector<Change>& changes) {
    for (const Change& change : changes) {
        ASSERT_TRUE(apply(study, change).ok());
    }
}

}  // namespace

TEST(ConvertUnit, BringsTheValuesOfTheScopeToTheUnitOfTheStudy) {
    Study study = twoSubjects();
    study.concentrations[0][1].reset();
    study.belowLimit = {{1, 0, 36.032}};  // 2 mmol/L
    UnitScope scope;
    scope.analyte = "glucose";
    scope.subject = "01";
    const auto changes = unitChanges(study, scope, "mg/dL");
    ASSERT_TRUE(changes.ok());
    ASSERT_EQ(changes.value().size(), 2U);
    applyAll(study, changes.value());
    EXPECT_NEAR(*study.concentrations[0][0], 5.0, 1e-12);  // 90.08 / 18.016
    EXPECT_NEAR(belowLimitAt(study, 1, 0).value(), 2.0, 1e-12);
    EXPECT_EQ(study.concentrations[0][2], 5.0) << "another subject";
}

TEST(ConvertUnit, SaysWhatCannotBeConverted) {
    const Study study = twoSubjects();
    UnitScope scope;
    scope.analyte = "insulin";
    EXPECT_THAT(unitChanges(study, scope, "mg/dL").problem().what, HasSubstr("no analyte"));
    scope.analyte = "glucose";
    EXPECT_FALSE(unitChanges(study, scope, "pints").ok());
    EXPECT_THAT(unitChanges(study, scope, "mmol/L").problem().what, HasSubstr("already"));
    scope.subject = "99";
    EXPECT_THAT(unitChanges(study, scope, "mg/dL").problem().what, HasSubstr("no value"));
}

}  // namespace aftercurve
