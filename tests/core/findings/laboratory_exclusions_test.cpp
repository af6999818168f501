// A result with exclusions is the result of the study without these rows: that study is the other
// computation.
#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include <algorithm>
#include <cmath>
#include <nlohmann/json.hpp>

#include "core/findings/analyse.h"
#include "core/findings/recompute.h"
#include "core/findings/results_json.h"
#include "core/findings/sentence.h"
#include "core/findings/table.h"
#include "tests/support/feeding_study.h"
#include "tests/support/trial_assays.h"

namespace aftercurve {
namespace {

using testing::AllOf;
using testing::ElementsAre;
using testing::HasSubstr;
using testing::IsEmpty;
using testing::Not;
using testing::SizeIs;
using Json = nlohmann::json;

Exclusion digestions(const std::string& material, const std::string& run, std::optional<int> replicate = {},
                     std::optional<double> timeMin = {}) {
    Exclusion one;
    one.material = material;
    one.run = run;
    one.replicate = replicate;
    one.timeMin = timeMin;
    one.reason = "enzyme left out";
    return one;
}

Exclusion results(const std::string& material, const std::string& method, std::optional<int> replicate = {}) {
    Exclusion one = digestions(material, "", replicate);
    one.method = method;
    one.reason = "ash not burnt";
    return one;
}

/// Blood, digestions and fibre; no resampling.
Study wholeStudy() {
    test::FeedingStudy data;
    Study study = data.study;
    study.plan.resamples = 0;
    study.assays = test::trialAssays();
    for (const char* run : {"A", "B"}) {
        for (const double time : {0.0, 10.0, 20.0, 30.0, 60.0, 90.0, 120.0, 180.0}) {
            AssayReading blank;
            blank.run = run;
            blank.blank = true;
            blank.timeMin = time;
            blank.value = run[0] == 'A' ? 0.5 : 0.25;
            blank.row = study.assays.readings.size() + 2;
            study.assays.readings.push_back(blank);
        }
    }
    study.fibre.file = "fibre.csv";
    study.fibre.region = "eu";
    const std::vector<double> values{14.0, 14.4, 19.0, 11.0, 11.3};
    for (std::size_t i = 0; i < values.size(); ++i) {
        FibreResult result;
        result.material = "bran";
        result.method = i < 3 ? "AOAC 2009.01" : "985.29";
        result.fraction = "total";
        result.replicate = static_cast<int>(i < 3 ? i + 1 : i - 2);
        result.value = values[i];
        result.moisturePercent = 10.0;
        result.row = i + 2;
        study.fibre.results.push_back(result);
    }
    return study;
}

Findings findingsOf(const Study& study) {
    auto findings = analyse(study, study.plan);
    EXPECT_TRUE(findings.ok());
    return std::move(findings).value();
}

Json jsonOf(const Study& study) {
    return Json::parse(resultsJson(findingsOf(study)));
}

/// The study without the rows that its exclusions of the laboratory name, and without these exclusions.
Study withoutTheRows(Study study) {
    const std::vector<Exclusion> exclusions = study.exclusions;
    std::erase_if(study.assays.readings,
                  [&](const AssayReading& one) { return excludes(exclusions, one) != nullptr; });
    std::erase_if(study.fibre.results,
                  [&](const FibreResult& one) { return excludes(exclusions, one) != nullptr; });
    std::erase_if(study.exclusions, isOfLaboratory);
    return study;
}

bool says(const Findings& findings, Severity severity, const std::string& part) {
    return std::any_of(findings.problems.begin(), findings.problems.end(), [&](const Problem& problem) {
        return problem.severity == severity && problem.what.find(part) != std::string::npos;
    });
}

std::string textOf(const std::vector<Sentence>& sentences) {
    std::string text;
    for (const Sentence& sentence : sentences) {
        text += sentence.text + "\n";
    }
    return text;
}

void expectFiniteTables(const Study& study, const Findings& findings) {
    for (const TableKind& kind : tableList()) {
        for (const Row& row : kind.build(study, findings).rows) {
            for (const Cell& cell : row.cells) {
                if (const auto* number = std::get_if<double>(&cell)) {
                    EXPECT_TRUE(std::isfinite(*number)) << kind.key << " " << row.key;
                }
            }
        }
    }
}

/// What differs by its nature: the list of what is excluded, and the remark that some is.
Json numbersOf(Json part) {
    part.erase("excluded");
    for (const char* table : {"results"}) {
        if (part.contains(table)) {
            for (Json& row : part[table]) {
                row.erase("remark");
            }
        }
    }
    return part;
}

TEST(LaboratoryExclusions, ResultsAreThoseOfTheStudyWithoutTheRows) {
    for (const std::vector<Exclusion>& list :
         {std::vector{digestions("flakes", "A", 2)}, std::vector{digestions("", "B")},
          std::vector{digestions("white", "A", 1, 180.0)}, std::vector{digestions("", "", 1)},
          std::vector{digestions("white", "B"), digestions("flakes", "A", {}, 10.0)}}) {
        Study study = wholeStudy();
        const Json whole = jsonOf(study);
        study.exclusions = list;
        const Json json = jsonOf(study);
        EXPECT_EQ(numbersOf(json["digestion"]), numbersOf(jsonOf(withoutTheRows(study))["digestion"]));
        EXPECT_NE(numbersOf(json["digestion"]), numbersOf(whole["digestion"]));
        EXPECT_EQ(json["fibre"], whole["fibre"]);
        for (const char* part : {"curves", "comparisons", "index", "models", "sensitivity", "flow"}) {
            EXPECT_EQ(json[part], whole[part]) << part;
        }
        expectFiniteTables(study, findingsOf(study));
    }
}

TEST(LaboratoryExclusions, FibreIsThatOfTheStudyWithoutTheRows) {
    Study study = wholeStudy();
    const Json whole = jsonOf(study);
    study.exclusions = {results("bran", "2009.01", 3)};
    const Findings findings = findingsOf(study);
    const Json json = Json::parse(resultsJson(findings));
    EXPECT_EQ(numbersOf(json["fibre"]), numbersOf(jsonOf(withoutTheRows(study))["fibre"]));
    EXPECT_EQ(json["digestion"], whole["digestion"]);
    EXPECT_EQ(findings.fibre.results[0].valued, 2U);
    EXPECT_EQ(findings.fibre.results[0].excluded, 1U);
    EXPECT_DOUBLE_EQ(*findings.fibre.results[0].asIsPer100g.value, 14.2);  // (14.0 + 14.4) / 2
    EXPECT_THAT(findings.fibre.excluded,
                ElementsAre(LaboratoryLeftOut{"bran, 2009.01, replicate 3", "ash not burnt",
                                              LaboratoryPart::determination}));
}

TEST(LaboratoryExclusions, ASampleWithoutADigestionLeftIsAbsentWithTheReason) {
    Study study = wholeStudy();
    study.exclusions = {digestions("flakes", "")};
    const Findings findings = findingsOf(study);
    const DigestionSample& flakes = findings.digestion.bySample[1];
    const std::string why = "all its digestions are excluded: enzyme left out";
    EXPECT_EQ(flakes.absentBecause, why);
    EXPECT_EQ(flakes.hydrolysisIndex.absentBecause, why);
    EXPECT_FALSE(flakes.hydrolysisIndex.value);
    for (const FractionSummary& summary : flakes.fractions) {
        EXPECT_FALSE(summary.mean);
        EXPECT_EQ(summary.absentBecause, why);
    }
    EXPECT_TRUE(findings.digestion.bySample[0].hydrolysisIndex.value);
    EXPECT_TRUE(says(findings, Severity::warning, why));
    EXPECT_EQ(numbersOf(Json::parse(resultsJson(findings))["fibre"]),
              numbersOf(jsonOf(wholeStudy())["fibre"]));
}

TEST(LaboratoryExclusions, AllExcludedIsAbsentWithReasonsAndNeverANumber) {
    Study study = wholeStudy();
    study.exclusions = {digestions("", "A"), digestions("", "B"), results("", "2009.01"),
                        results("", "985.29")};
    const Findings findings = findingsOf(study);
    EXPECT_THAT(findings.digestion.replicates, IsEmpty());
    EXPECT_THAT(findings.digestion.comparisons, IsEmpty());
    ASSERT_THAT(findings.fibre.results, SizeIs(2));
    for (const FibreResultFinding& result : findings.fibre.results) {
        EXPECT_FALSE(result.asIsPer100g.value);
        EXPECT_FALSE(result.counts());
        EXPECT_EQ(result.asIsPer100g.absentBecause, "all its determinations are excluded: ash not burnt");
    }
    EXPECT_THAT(findings.fibre.labels, IsEmpty());
    expectFiniteTables(study, findings);
    EXPECT_THAT(textOf(resultsSentences(study, findings)), HasSubstr("all its determinations are excluded"));
}

TEST(LaboratoryExclusions, OneThatMatchesNothingIsAWarningThatNamesIt) {
    Study study = wholeStudy();
    study.exclusions = {digestions("flaeks", "A", 2), results("bran", "991.43"),
                        digestions("flakes", "A", 2)};
    const Findings findings = findingsOf(study);
    EXPECT_TRUE(says(findings, Severity::warning,
                     "exclusions[0] (flaeks, run A, replicate 2) takes nothing out: no digestion"));
    EXPECT_TRUE(says(findings, Severity::warning,
                     "exclusions[1] (bran, method 991.43) takes nothing out: no result of fibre"));
    EXPECT_FALSE(says(findings, Severity::warning, "exclusions[2]"));
}

TEST(LaboratoryExclusions, OfSubjectsAreUnaffectedByThem) {
    Study study = wholeStudy();
    study.exclusions = {{"03", "oats", std::nullopt, "", "unwell", "nurse", "2026-03-02"}};
    const Json alone = jsonOf(study);
    study.exclusions.push_back(digestions("flakes", "A", 2));
    study.exclusions.push_back(digestions("", "", 1, 30.0));
    const Json json = jsonOf(study);
    for (const char* part : {"curves", "comparisons", "index", "sensitivity", "flow", "evidence"}) {
        EXPECT_EQ(json[part], alone[part]) << part;
    }
    EXPECT_EQ(json["ignoring_exclusions"]["comparisons"], alone["ignoring_exclusions"]["comparisons"]);
}

TEST(LaboratoryExclusions, TablesShowThemTheirEffectAndTheValues) {
    Study study = wholeStudy();
    study.exclusions = {{"03", "oats", std::nullopt, "", "unwell", "nurse", ""},
                        digestions("flakes", "A", 2),
                        results("bran", "2009.01", 3)};
    const Findings findings = findingsOf(study);
    const auto column = [](const Table& table, const std::string& key) {
        for (std::size_t c = 0; c < table.columns.size(); ++c) {
            if (table.columns[c].key == key) {
                return c;
            }
        }
        ADD_FAILURE() << key;
        return std::size_t{0};
    };
    const Table list = buildTable("exclusions", study, findings);
    ASSERT_THAT(list.rows, SizeIs(3));
    for (const Row& row : list.rows) {
        EXPECT_EQ(row.cells.size(), list.columns.size());
    }
    EXPECT_EQ(list.rows[0].cells[column(list, "laboratory_rows")], Cell{});
    EXPECT_EQ(list.rows[1].cells[column(list, "laboratory_rows")], Cell{std::int64_t{8}});
    EXPECT_EQ(list.rows[1].cells[column(list, "material")], Cell{std::string{"Barley flakes"}});
    EXPECT_EQ(list.rows[1].cells[column(list, "subject")], Cell{});
    EXPECT_EQ(list.rows[2].cells[column(list, "method")], Cell{std::string{"2009.01"}});
    EXPECT_EQ(list.rows[2].cells[column(list, "laboratory_rows")], Cell{std::int64_t{1}});

    const Table readings = buildTable("digestion_readings", study, findings);
    std::size_t marked = 0;
    for (const Row& row : readings.rows) {
        const auto* remark = std::get_if<std::string>(&row.cells.back());
        if (remark != nullptr && *remark == "excluded: enzyme left out") {
            ++marked;
            EXPECT_TRUE(row.muted);
            EXPECT_NE(row.cells[column(readings, "value")], Cell{});
            EXPECT_EQ(row.cells[column(readings, "starch_percent")], Cell{});
        }
    }
    EXPECT_EQ(marked, 8U);
    EXPECT_THAT(readings.rows, SizeIs(96));

    Study whole = study;
    whole.exclusions.clear();
    const Findings without = findingsOf(whole);
    const Table effect = buildTable("exclusions_effect", study, findings);
    // Comparisons and indices, five results of each of two samples, one of fibre.
    ASSERT_THAT(effect.rows, SizeIs(findings.comparisons.size() + findings.index.size() + 11));
    const Row& fibre = effect.rows.back();
    EXPECT_EQ(fibre.cells[column(effect, "estimate")], Cell{*findings.fibre.results[0].asIsPer100g.value});
    EXPECT_EQ(fibre.cells[column(effect, "estimate_ignoring")],
              Cell{*without.fibre.results[0].asIsPer100g.value});
    EXPECT_EQ(fibre.cells[column(effect, "n_ignoring")], Cell{std::int64_t{3}});
    const Row& index = effect.rows[effect.rows.size() - 2];
    EXPECT_EQ(index.cells[column(effect, "estimate")],
              Cell{*findings.digestion.bySample[1].hydrolysisIndex.value});
    EXPECT_EQ(index.cells[column(effect, "estimate_ignoring")],
              Cell{*without.digestion.bySample[1].hydrolysisIndex.value});
    const Json json = Json::parse(resultsJson(findings));
    EXPECT_EQ(json["digestion"]["excluded"][0]["what"], "Barley flakes, run A, replicate 2");
    EXPECT_EQ(json["ignoring_exclusions"]["laboratory"].size(), 11U);
}

TEST(LaboratoryExclusions, SentencesCountAndNameThem) {
    Study study = wholeStudy();
    study.exclusions = {digestions("flakes", "A", 2)};
    const Findings findings = findingsOf(study);
    const std::string methods = textOf(methodsSentences(study, findings));
    EXPECT_THAT(methods, HasSubstr("1 digestion was excluded: Barley flakes, run A, replicate 2 (enzyme left "
                                   "out).\n"));
    EXPECT_THAT(methods, Not(HasSubstr("exclusion was on record")));  // of subjects there is none
    const std::string text = textOf(resultsSentences(study, findings));
    EXPECT_THAT(text,
                AllOf(HasSubstr("With no exclusion applied, rapidly digestible starch of Barley flakes"),
                      Not(HasSubstr("rapidly digestible starch of White bread was")),
                      HasSubstr("(n = 6); with the exclusions it was")));
    EXPECT_THAT(text, Not(HasSubstr("With no exclusion applied, Label of")));
    study.exclusions = {digestions("", "B"),
                        digestions("white", "A", 1, 60.0),
                        results("", "2009.01", 3),
                        {"03", "", std::nullopt, "", "unwell", "", ""}};
    const std::string more = textOf(methodsSentences(study, findingsOf(study)));
    EXPECT_THAT(
        more,
        AllOf(HasSubstr("6 digestions, 1 reading of digestions and the blanks of 1 run were excluded: "),
              HasSubstr("1 determination of fibre was excluded: bran, 2009.01, replicate 3"),
              HasSubstr("1 exclusion was on record: subject 03 (unwell).")));
    for (const Sentence& sentence : methodsSentences(study, findingsOf(study))) {
        for (const SentenceSource& source : sentence.sources) {
            if (source.table == "exclusions") {
                EXPECT_LT(source.row, study.exclusions.size());
            }
        }
    }
}

TEST(LaboratoryExclusions, RecomputeFilesMarkTheRows) {
    Study study = wholeStudy();
    study.exclusions = {digestions("white", "A", 1)};
    const Findings findings = findingsOf(study);
    std::string readings;
    for (const RecomputeFile& file : recomputeFiles(study, findings)) {
        readings = file.name == "assay_readings.csv" ? file.bytes : readings;
    }
    EXPECT_THAT(readings,
                HasSubstr(",excluded,excluded_because\n1,A,1,white,1,,no,0,0,,yes,enzyme left out\n"));
    // The digestions that count are numbered from 1 without a gap.
    EXPECT_THAT(readings, HasSubstr("\n1,A,1,white,2,1,no,0,0,,no,\n"));
}

TEST(LaboratoryExclusions, IgnoredMeansTheWholeStudy) {
    Study study = wholeStudy();
    const Json whole = jsonOf(study);
    study.exclusions = {digestions("flakes", "A", 2), results("bran", "2009.01")};
    const Findings findings = findingsOf(study);
    for (const LaboratoryEffect& effect : findings.laboratoryEffects) {
        EXPECT_FALSE(effect.key.empty());
        EXPECT_TRUE(effect.value || !effect.absentBecause.empty()) << effect.key;
        EXPECT_TRUE(effect.valueIgnoring) << effect.key;
    }
    const LaboratoryEffect& fibre = findings.laboratoryEffects.back();
    EXPECT_EQ(fibre.n, 0U);
    EXPECT_EQ(fibre.nIgnoring, 3U);
    EXPECT_EQ(*fibre.valueIgnoring, whole["fibre"]["results"][0]["as_is_g_per_100_g"].get<double>());
    EXPECT_EQ(fibre.absentBecause, "all its determinations are excluded: ash not burnt");
}

}  // namespace
}  // namespace aftercurve
