#include "core/findings/results_json.h"

#include <gtest/gtest.h>

#include <nlohmann/json.hpp>

#include "core/findings/analyse.h"
#include "tests/support/study_builder.h"

namespace aftercurve {

namespace {

using Json = nlohmann::json;

Json resultsOf(const Study& study) {
    const auto findings = analyse(study, study.plan);
    EXPECT_TRUE(findings.ok());
    return Json::parse(resultsJson(findings.value()));
}

Study study() {
    test::StudyBuilder builder;
    builder.food("drink", FoodRole::reference).food("bread", FoodRole::test).analyte("glucose", "mmol/L");
    for (const char* subject : {"01", "02", "03"}) {
        const double rise = subject[1] - '0';
        builder.curve(subject, "drink", 1, {0, 30, 120}, {5, 6 + rise, 4});
        builder.curve(subject, "drink", 2, {0, 30, 120}, {5, 6.5 + rise, 4.5});
        builder.curve(subject, "bread", 1, {0, 30, 120}, {5, 5.5 + rise * rise / 3, 5.2});
    }
    builder.study().inputs = {{"samples.csv", std::string(64, 'a')}};
    return builder.study();
}

void expectKeys(const Json& json, const std::vector<std::string>& keys) {
    for (const std::string& key : keys) {
        EXPECT_TRUE(json.contains(key)) << key;
    }
}

}  // namespace

// The keys of version 1, from docs/formats.md.
TEST(ResultsJson, HasEveryKeyOfVersionOne) {
    const Json json = resultsOf(study());
    EXPECT_EQ(json["format"], "aftercurve-results");
    EXPECT_EQ(json["version"], 1);
    expectKeys(json, {"software", "inputs", "plan", "curves", "comparisons", "models", "index", "problems"});
    expectKeys(json["software"], {"version", "revision"});
    expectKeys(json["inputs"][0], {"file", "sha256"});
    expectKeys(json["curves"][0],
               {"subject", "food", "visit", "analyte", "baseline", "samples", "area_positive_incremental",
                "area_net_incremental", "area_total", "area_until_return", "area_above_minimum", "peak",
                "peak_rise", "time_to_peak_min", "time_to_return_min", "excluded", "notes"});
    expectKeys(json["comparisons"][0], {"analyte",
                                        "measure",
                                        "food",
                                        "comparator",
                                        "n",
                                        "mean_difference",
                                        "sd_difference",
                                        "ci_low",
                                        "ci_high",
                                        "t",
                                        "df",
                                        "p",
                                        "p_adjusted",
                                        "wilcoxon_v",
                                        "wilcoxon_p",
                                        "wilcoxon_method",
                                        "hodges_lehmann",
                                        "effect_dz",
                                        "shapiro_w",
                                        "shapiro_p"});
    expectKeys(json["models"][0], {"analyte", "measure", "formula", "method", "df_method", "terms",
                                   "variance_subject", "variance_residual", "means", "differences",
                                   "boundary", "dropped", "notes", "absent_because"});
    expectKeys(json["index"][0], {"analyte", "food", "reference", "n", "mean", "sd", "sem", "ci_low",
                                  "ci_high", "class", "reference_cv_percent", "subjects"});
    expectKeys(json["index"][0]["subjects"][0], {"subject", "value", "outlier"});
    ASSERT_FALSE(json["problems"].empty());
    expectKeys(json["problems"][0], {"severity", "where", "text"});
}

TEST(ResultsJson, AbsentIsNullAndNumbersAreWhole) {
    const Json json = resultsOf(study());
    const Json& curve = json["curves"][2];  // bread of subject 01 never returns
    EXPECT_EQ(curve["food"], "bread");
    EXPECT_TRUE(curve["time_to_return_min"].is_null());
    // Rise 0.5 + 1/3 at 30 min, 0.2 at 120 min.
    const double rise = 0.5 + 1.0 / 3.0;
    EXPECT_NEAR(curve["area_positive_incremental"].get<double>(), 15 * rise + 45 * (rise + 0.2), 1e-12);
}

TEST(ResultsJson, EveryMissingTestHasItsReason) {
    test::StudyBuilder builder;
    builder.food("bread", FoodRole::control).food("oats", FoodRole::test).analyte("glucose", "mmol/L");
    builder.curve("01", "bread", 1, {0, 120}, {5, 6}).curve("01", "oats", 1, {0, 120}, {5, 6});
    const Json comparison = resultsOf(builder.study())["comparisons"][0];
    for (const char* name : {"p", "wilcoxon_p", "effect_dz", "shapiro_w"}) {
        EXPECT_TRUE(comparison[name].is_null()) << name;
    }
    for (const char* reason : {"t_absent_because", "wilcoxon_absent_because", "effect_absent_because",
                               "shapiro_absent_because", "hodges_lehmann_absent_because"}) {
        EXPECT_TRUE(comparison[reason].is_string()) << reason;
    }
}

TEST(ResultsJson, TextThatIsNotUtf8DoesNotStopIt) {
    Study broken = study();
    broken.subjects[0].id = "a\xff";
    EXPECT_NO_THROW(resultsOf(broken));
}

}  // namespace aftercurve
