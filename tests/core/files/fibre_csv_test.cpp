// fibre.csv and the fibre keys of study.json: what is read, what is refused, and the way back.
#include "core/files/fibre_csv.h"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include "core/edit/save_study.h"
#include "tests/core/files/problem_matchers.h"
#include "tests/support/study_files.h"

namespace aftercurve {
namespace {

using testing::HasSubstr;
using testing::IsEmpty;
using testing::SizeIs;

constexpr const char* samples = "subject,food,time_min,glucose\n01,drink,0,4.5\n01,drink,30,6.5\n";
constexpr const char* header = "material,method,fraction,replicate,value,basis,moisture_percent,laboratory\n";
constexpr const char* named = R"(, "fibre": {"file": "fibre.csv", "region": "eu", "target_g": 30})";

StudyReading readWith(const std::string& fibre, const std::string& json = named) {
    const test::StudyFiles files(samples, test::smallStudyJson(json));
    files.folder.write("fibre.csv", fibre);
    return files.read();
}

TEST(FibreCsv, HoldsDeterminations) {
    const auto reading = readWith(std::string{header} +
                                  "barley bran,AOAC 2009.01,total,1,21.5,dry,9.8,north\n"
                                  "barley bran,AOAC 2009.01,total,2,NA,,,north\n");
    ASSERT_TRUE(reading.study) << linesOf(reading.problems);
    const FibreData& fibre = reading.study->fibre;
    EXPECT_EQ(fibre.region, "eu");
    EXPECT_EQ(fibre.targetG, 30.0);
    ASSERT_THAT(fibre.results, SizeIs(2));
    EXPECT_EQ(fibre.results[0],
              (FibreResult{"barley bran", "AOAC 2009.01", "total", 1, 21.5, true, 9.8, "north", 2}));
    EXPECT_FALSE(fibre.results[1].value);
    EXPECT_FALSE(fibre.results[1].dryBasis);
    EXPECT_EQ(reading.study->inputs.back().file, "fibre.csv");
    EXPECT_THAT(reading.study->inputs.back().sha256, SizeIs(64));
}

TEST(FibreCsv, RowsThatCannotBeReadAreNamed) {
    const std::string h = header;
    EXPECT_THAT(readWith(h + ",985.29,total,1,2,,,\n"), Refused("fibre.csv:2", "the material is empty"));
    EXPECT_THAT(readWith(h + "bran,,total,1,2,,,\n"), Refused("fibre.csv:2", "the method is empty"));
    EXPECT_THAT(readWith(h + "bran,985.29,all,1,2,,,\n"), Refused("fibre.csv:2", "the fraction 'all'"));
    EXPECT_THAT(readWith(h + "bran,985.29,total,0,2,,,\n"), Refused("fibre.csv:2", "the replicate '0'"));
    EXPECT_THAT(readWith(h + "bran,985.29,total,1,2,wet,,\n"), Refused("fibre.csv:2", "the basis 'wet'"));
    EXPECT_THAT(readWith(h + "bran,985.29,total,1,2,,,\nbran,985.29,total,1,3,,,\n"),
                Refused("fibre.csv:3", "is there twice"));
    EXPECT_THAT(readWith(h + std::string(101, 'x') + ",985.29,total,1,2,,,\n"),
                Refused("fibre.csv:2", "longer than 100 bytes"));
    EXPECT_THAT(readWith("material,method,fraction\n"), Refused("fibre.csv:1", "'value' is missing"));
    EXPECT_THAT(readWith(""), Refused("fibre.csv", "the file is empty"));
    std::string many = h;
    for (std::size_t i = 0; i <= mostFibreResults; ++i) {
        many += "bran,985.29,total," + std::to_string(i + 1) + ",2,,,\n";
    }
    EXPECT_THAT(readWith(many), Refused("fibre.csv:5002", "more than the 5000 rows"));
}

TEST(FibreCsv, ValuesThatCannotBeUsedAreAbsent) {
    const auto reading = readWith(std::string{header} +
                                  "bran,985.29,total,1,100.1,,,\nbran,985.29,total,2,-1,,,\n"
                                  "bran,985.29,total,3,\"4,5\",,,\nbran,985.29,total,4,<0.5,,,\n"
                                  "bran,985.29,total,5,nan,,101,\nbran,985.29,total,6,100,,100,\n");
    ASSERT_TRUE(reading.study) << linesOf(reading.problems);
    for (std::size_t i = 0; i < 5; ++i) {
        EXPECT_FALSE(reading.study->fibre.results[i].value) << i;
    }
    EXPECT_EQ(reading.study->fibre.results[5].value, 100.0);
    EXPECT_FALSE(reading.study->fibre.results[4].moisturePercent);
    EXPECT_EQ(reading.study->fibre.results[5].moisturePercent, 100.0);
    EXPECT_THAT(reading.problems, HasProblem(Severity::error, "fibre.csv:2", "not from 0 to 100 g"));
    EXPECT_THAT(reading.problems, HasProblem(Severity::error, "fibre.csv:3", "not from 0 to 100 g"));
    EXPECT_THAT(reading.problems, HasProblem(Severity::error, "fibre.csv:4", "decimal comma"));
    EXPECT_THAT(reading.problems, HasProblem(Severity::warning, "fibre.csv:5", "limit of quantification"));
    EXPECT_THAT(reading.problems, HasProblem(Severity::warning, "fibre.csv:6", "the moisture '101'"));
    EXPECT_TRUE(isFitForPrint(reading.problems));
}

TEST(FibreCsv, NoPathOutOfTheFolder) {
    EXPECT_FALSE(readWith(header, R"(, "fibre": {"file": "../fibre.csv"})").study);
    EXPECT_FALSE(readWith(header, R"(, "fibre": {"file": "none.csv"})").study);
    EXPECT_FALSE(readWith(header, R"(, "fibre": {"file": "study.json"})").study);
}

/// Every key, and one of each level that this program does not know.
constexpr const char* everything = R"(, "fibre": {"file": "fibre.csv", "region": "ours", "target_g": 25,
  "repeatability_sd": {"2009.01": 0.4, "985.29": 0.3}, "remark": "kept"},
 "recipes": [{"id": "loaf", "label": "Barley loaf", "food": "barley", "baked_mass_g": 420, "serving_g": 60,
   "parts": [{"material": "flour", "mass_g": 300, "fibre_g": 3.5, "available_carbohydrate_g": 70, "protein_g": 11,
              "fat_g": 1.5, "water_g": 13, "supplier": "mill"},
             {"material": "bran", "mass_g": 0}],
   "replace": "flour", "by": "bran", "share": 0.3, "oven": "deck"}],
 "fibre_rules": [{"key": "ours", "title": "Ours", "definition": "as the college says",
   "includes": ["insoluble", "rs2"], "left_to_authority": ["soluble-low"], "methods": ["985.29"],
   "statements": [{"words": "source", "any_of": [{"per": "100 g", "at_least_g": 3}, {"per": "serving", "at_least_g": 2}]}],
   "label_per": "serving",
   "rounding": [{"from_g": 0, "words": "none"}, {"from_g": 0.5, "above": true, "nearest_g": 0.1}, {"from_g": 10, "figures": 3}],
   "source": "invented", "on": "2026-03-02", "draft": true}])";

TEST(FibreJson, GivesBackWhatItHolds) {
    const test::StudyFiles files(samples, test::smallStudyJson(everything));
    files.folder.write("fibre.csv", std::string{header} + "'=bran,985.29,total,1,21.50,as-is,9.8,north\n");
    StudyReading reading = files.read();
    ASSERT_TRUE(reading.study) << linesOf(reading.problems);
    EXPECT_THAT(reading.problems, HasProblem(Severity::note, "study.json", "fibre.remark is not a key"));
    Study study = *reading.study;
    EXPECT_EQ(study.fibre.results[0].material, "=bran");
    EXPECT_EQ(study.fibre.rules[0].rounding[2].figures, 3);
    EXPECT_EQ(study.fibre.recipes[0].parts[1].massG, 0.0);
    study.fibre.region = "eu";
    study.fibre.recipes[0].replacedShare = 0.5;
    study.fibre.recipes[0].parts[0].fatPer100g.reset();
    const Study wanted = study;
    ASSERT_TRUE(saveStudy(files.folder.path(), study, {}));
    reading = files.read();
    ASSERT_TRUE(reading.study) << linesOf(reading.problems);
    EXPECT_EQ(reading.study->fibre, wanted.fibre);
    const std::string json = files.folder.read("study.json");
    for (const char* kept : {"\"remark\"", "\"supplier\"", "\"oven\"", "\"draft\""}) {
        EXPECT_THAT(json, HasSubstr(kept));
    }
    // The laboratory's file is not touched: 21.50 stays as it was written.
    EXPECT_THAT(files.folder.read("fibre.csv"), HasSubstr("21.50"));
}

TEST(FibreJson, ANewFolderHoldsTheSame) {
    const test::StudyFiles files(samples, test::smallStudyJson(everything));
    files.folder.write("fibre.csv", std::string{header} + "'=bran,985.29,total,1,21.5,dry,,\"north, old\"\n" +
                                        "bran,985.29,total,1,,as-is,9.8,\n");
    const StudyReading reading = files.read();
    ASSERT_TRUE(reading.study) << linesOf(reading.problems);
    const test::TempFolder copy;
    ASSERT_TRUE(writeNewStudy(copy.path() / "copy", *reading.study));
    const StudyReading again = readStudyFolder(copy.path() / "copy");
    ASSERT_TRUE(again.study) << linesOf(again.problems);
    EXPECT_EQ(again.study->fibre, reading.study->fibre);
    EXPECT_THAT(copy.read("copy/fibre.csv"), HasSubstr("\n'=bran,985.29,total,1,21.5,dry,,\"north, old\"\n"));
}

TEST(FibreJson, WhatCannotBeUsedIsRefused) {
    const auto refusal = [](const std::string& json, const char* text) {
        const auto reading = readWith(header, ", " + json);
        EXPECT_FALSE(reading.study) << json;
        EXPECT_THAT(reading.problems, HasProblem(Severity::error, "study.json", text)) << json;
    };
    refusal(R"("fibre": 3)", "fibre is 3");
    refusal(R"("fibre": {"target_g": -1})", "cannot be negative");
    refusal(R"("fibre": {"repeatability_sd": {"985.29": 0}})", "above 0 is expected");
    refusal(R"("recipes": [{"parts": [{"material": "x"}]}])", "recipes[0].id is missing");
    refusal(R"("recipes": [{"id": "a", "parts": [{"material": "x", "fibre_g": 101}]}])", "too large");
    refusal(R"("recipes": [{"id": "a", "parts": [{"material": "x", "mass_g": -1}]}])", "cannot be negative");
    refusal(R"("recipes": [{"id": "a", "share": 1.5, "parts": [{"material": "x"}]}])", "too large");
    refusal(R"("recipes": [{"id": "a", "parts": [{"material": "x"}, {"material": "x"}]}])", "appears twice");
    refusal(
        R"("recipes": [{"id": "a", "parts": [{"material": "x"}]}, {"id": "a", "parts": [{"material": "x"}]}])",
        "appears twice");
    refusal(R"("fibre_rules": [{"key": "a", "title": "A", "includes": ["starch"], "source": "s"}])",
            "no part of fibre");
    refusal(R"("fibre_rules": [{"key": "a", "title": "A", "includes": ["rs1"]}])", "source is missing");
    refusal(R"("fibre_rules": [{"key": "a", "title": "A", "includes": ["rs1"], "source": "s",
              "rounding": [{"from_g": 0, "nearest_g": 1, "words": "x"}]}])",
            "cannot be used");
    refusal(R"("fibre_rules": [{"key": "a", "title": "A", "includes": ["rs1"], "source": "s",
              "statements": [{"words": "w", "any_of": [{"per": "cup", "at_least_g": 1}]}]}])",
            "is 'cup'");
    std::string many = R"("recipes": [)";
    for (int i = 0; i < 101; ++i) {
        many += std::string{i > 0 ? "," : ""} + R"({"id": "r)" + std::to_string(i) +
                R"(", "parts": [{"material": "x"}]})";
    }
    refusal(many + "]", "more than 100 entries");
}

TEST(FibreJson, ARecipeMayStillBeWithoutItsParts) {
    const auto reading = readWith(header, R"(, "recipes": [{"id": "a", "parts": []}, {"id": "b"}])");
    ASSERT_TRUE(reading.study);
    ASSERT_EQ(reading.study->fibre.recipes.size(), 2u);
    EXPECT_TRUE(reading.study->fibre.recipes[0].parts.empty());
}

TEST(FibreJson, AStudyWithoutFibreIsWrittenWithoutIt) {
    const test::StudyFiles files(samples, test::smallStudyJson());
    StudyReading reading = files.read();
    ASSERT_TRUE(reading.study);
    EXPECT_EQ(reading.study->fibre, FibreData{});
    reading.study->title = "Another";
    ASSERT_TRUE(saveStudy(files.folder.path(), *reading.study, {}));
    EXPECT_THAT(files.folder.read("study.json"), testing::Not(HasSubstr("fibre")));
}

}  // namespace
}  // namespace aftercurve
