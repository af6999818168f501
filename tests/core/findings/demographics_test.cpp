// Expected values by hand, and quartiles by R: quantile(c(21, 24, 26, 36, 39), c(.25, .5, .75), type = 7).
#include "core/findings/demographics.h"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include <algorithm>
#include <cmath>

#include "core/findings/analyse.h"
#include "core/findings/table.h"
#include "tests/support/study_builder.h"

namespace aftercurve {

using testing::Contains;
using testing::ElementsAre;
using testing::HasSubstr;

namespace {

Study sixSubjects() {
    Study study;
    study.subjects = {{"01", "AB", "F", 24.0, 24.0}, {"02", "BA", "M", 26.0, std::nullopt},
                      {"03", "AB", "M", 21.0, 20.0}, {"04", "BA", "F", 36.0, std::nullopt},
                      {"05", "AB", "F", 39.0, 22.0}, {"06", "", "", std::nullopt, std::nullopt}};
    return study;
}

const DemographicsFinding& at(const std::vector<DemographicsFinding>& findings, std::string_view group,
                              std::string_view characteristic, std::string_view level = "") {
    const auto found = std::find_if(findings.begin(), findings.end(), [&](const DemographicsFinding& f) {
        return f.group == group && f.characteristic == characteristic && f.level == level;
    });
    EXPECT_NE(found, findings.end()) << group << ' ' << characteristic << ' ' << level;
    static const DemographicsFinding none;
    return found == findings.end() ? none : *found;
}

}  // namespace

TEST(Demographics, DescribeAllSubjects) {
    const auto findings = demographicsOf(sixSubjects());
    EXPECT_EQ(at(findings, "all", "subjects").n, 6U);
    const DemographicsFinding& age = at(findings, "all", "age_y");
    EXPECT_EQ(age.n, 5U);
    EXPECT_EQ(age.missing, 1U);
    EXPECT_DOUBLE_EQ(*age.mean, 146.0 / 5.0);
    // Squares about 29.2: 67.24 + 27.04 + 10.24 + 46.24 + 96.04 = 246.8.
    EXPECT_NEAR(*age.sd, std::sqrt(246.8 / 4.0), 1e-12);
    EXPECT_DOUBLE_EQ(*age.lowerQuartile, 24.0);
    EXPECT_DOUBLE_EQ(*age.median, 26.0);
    EXPECT_DOUBLE_EQ(*age.upperQuartile, 36.0);
    EXPECT_DOUBLE_EQ(*age.minimum, 21.0);
    EXPECT_DOUBLE_EQ(*age.maximum, 39.0);
    const DemographicsFinding& women = at(findings, "all", "sex", "F");
    EXPECT_EQ(women.n, 3U);
    EXPECT_EQ(women.missing, 1U);
    EXPECT_DOUBLE_EQ(*women.percent, 60.0);
}

// R: quantile(c(20, 22, 24), c(.25, .75), type = 7) gives 21 and 23; type 6 would give 20 and 24.
TEST(Demographics, DescribeEachSequenceAndThoseWithout) {
    const auto findings = demographicsOf(sixSubjects());
    EXPECT_DOUBLE_EQ(*at(findings, "AB", "bmi_kg_m2").lowerQuartile, 21.0);
    EXPECT_DOUBLE_EQ(*at(findings, "AB", "bmi_kg_m2").upperQuartile, 23.0);
    EXPECT_DOUBLE_EQ(*at(findings, "AB", "subjects").percent, 50.0);
    const DemographicsFinding& unknown = at(findings, "BA", "bmi_kg_m2");
    EXPECT_EQ(unknown.n, 0U);
    EXPECT_EQ(unknown.missing, 2U);
    EXPECT_FALSE(unknown.mean || unknown.sd || unknown.median || unknown.minimum);
    const DemographicsFinding& without = at(findings, "sequence not given", "sex", "M");
    EXPECT_EQ(without.n, 0U);
    EXPECT_FALSE(without.percent);
}

TEST(Demographics, OneValueHasNoSpread) {
    Study study;
    study.subjects = {{"01", "", "", 40.0, std::nullopt}};
    const auto findings = demographicsOf(study);
    ASSERT_EQ(findings.size(), 2U);
    EXPECT_DOUBLE_EQ(*findings[1].mean, 40.0);
    EXPECT_FALSE(findings[1].sd);
    EXPECT_TRUE(demographicsOf({}).empty());
}

TEST(Demographics, TheTableSaysWhoIsInItAndWhatIsMissing) {
    test::StudyBuilder builder;
    builder.food("drink", FoodRole::reference).food("oats", FoodRole::test).analyte("glucose", "mmol/L");
    for (const char* subject : {"01", "02", "03"}) {
        builder.curve(subject, "drink", 1, {0, 60, 120}, {5, 8, 5});
        builder.curve(subject, "oats", 1, {0, 60, 120}, {5, 7, 5});
    }
    Study& study = builder.study();
    study.plan.resamples = 0;
    study.subjects[0].ageY = 30;
    study.exclusions = {{"03", "", std::nullopt, "", "fever", "", "", std::nullopt}};
    const auto findings = analyse(study, study.plan);
    ASSERT_TRUE(findings.ok());
    const Table table = buildTable("demographics", study, findings.value());
    ASSERT_EQ(table.rows.size(), 2U);
    EXPECT_THAT(table.notes,
                Contains("All 3 subjects on record, excluded ones included; 2 have a curve that counts."));
    EXPECT_THAT(table.notes, Contains("Not given for any subject: sex, body mass index."));
    EXPECT_THAT(table.notes, Contains(HasSubstr("type 7")));
    EXPECT_EQ(std::get<std::string>(table.rows[1].cells[1]), "Age");
    EXPECT_EQ(std::get<std::int64_t>(table.rows[1].cells[4]), 2);
}

}  // namespace aftercurve
