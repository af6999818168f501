#include "core/intake/mapping_json.h"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include "tests/core/files/problem_matchers.h"

namespace aftercurve {
namespace {

/// No part at its default.
Mapping fullMapping() {
    Mapping m;
    m.title = "Barley pilot (invented)";
    TableMapping table;
    table.source = 2;
    table.file = "lab.xlsx";
    table.sheet = "Gl*";
    table.use = false;
    table.dialect = {"latin-1", '\t', ','};
    table.headerRow = 4;
    table.headerRows = 2;
    table.firstRow = 6;
    table.lastRow = 90;
    table.layout = Layout::wideBySubject;
    table.subjectFrom = Origin::fixed;
    table.subject = "07";
    table.foodFrom = Origin::fixed;
    table.food = "drink";
    table.visitFrom = Origin::fixed;
    table.visit = 3;
    table.analyte = "insulin";
    table.unit = "pmol/L";
    table.fillDown = true;
    table.othersAreSubjects = true;
    table.columns.push_back({3, "Glc / 15", ColumnRole::analyte, "glucose", "mg/dL", -5.5, "01", "drink", 2});
    table.columns.push_back({1, "", ColumnRole::clockTime, "", "", std::nullopt, "", "", 0});
    m.tables.push_back(table);
    m.foods.push_back({"drink", "Glucose drink", FoodRole::reference, {"Drink", "GL"}, 50.0, 250.5});
    m.foods.push_back({"pea", "Pea", std::nullopt, {}, std::nullopt, std::nullopt});
    m.analytes.push_back({"insulin", "pmol/L", "µIU/mL", "venous serum", 6.945});
    m.missingWords = {"QNS"};
    m.limitTexts = {{"n.d.", "insulin", 2.0}, {"BDL", "", std::nullopt}};
    m.timeTexts = {{"fasting", -5.0}, {"late", std::nullopt}};
    m.skipRowsNamed = {"Mean"};
    m.dateOrder = DateOrder::monthDay;
    m.dilution = DilutionRule::multiply;
    m.subjectDigits = 3;
    m.nominalBasis = true;
    return m;
}

TEST(MappingJson, RoundTripKeepsEveryPart) {
    const Mapping mapping = fullMapping();
    const MappingReading reading = readMapping(mappingText(mapping), "m.json");
    ASSERT_TRUE(reading.mapping) << linesOf(reading.problems);
    EXPECT_TRUE(*reading.mapping == mapping) << mappingText(*reading.mapping);
    EXPECT_TRUE(reading.problems.empty()) << linesOf(reading.problems);
}

TEST(MappingJson, EveryWordIsReadBack) {
    for (const char* layout : {"long", "wide-by-time", "wide-by-subject", "visits", "subjects"}) {
        EXPECT_EQ(wordFor(layoutFrom(layout).value()), layout);
    }
    for (int role = 0; role <= static_cast<int>(ColumnRole::bmi); ++role) {
        const auto value = static_cast<ColumnRole>(role);
        EXPECT_EQ(columnRoleFrom(wordFor(value)), value);
    }
}

TEST(MappingJson, OpenQuestionsStandAsNull) {
    Mapping mapping;
    mapping.foods.push_back({"pea", "Pea", std::nullopt, {}, {}, {}});
    mapping.subjectDigits.reset();
    const std::string text = mappingText(mapping);
    EXPECT_NE(text.find("\"role\": null"), std::string::npos) << text;
    EXPECT_NE(text.find("\"subject_digits\": null"), std::string::npos) << text;
    const auto reading = readMapping(text, "m.json");
    ASSERT_TRUE(reading.mapping);
    EXPECT_FALSE(reading.mapping->foods[0].role);
    EXPECT_FALSE(reading.mapping->subjectDigits);
}

TEST(MappingJson, RefusesUnknownKeysAndWordsByName) {
    const auto refusal = [](const std::string& body) {
        return readMapping(R"({"format":"aftercurve-mapping","version":1,)" + body + "}", "m.json");
    };
    EXPECT_THAT(refusal(R"("tabels":[])"),
                testing::Field(&MappingReading::mapping, testing::Eq(std::nullopt)));
    EXPECT_THAT(refusal(R"("tabels":[])").problems,
                HasProblem(Severity::error, "m.json", "tabels is not a key of a mapping"));
    EXPECT_THAT(refusal(R"("tables":[{"colums":[]}])").problems,
                HasProblem(Severity::error, "m.json", "tables[0].colums is not a key"));
    EXPECT_THAT(refusal(R"("tables":[{"columns":[{"column":1,"role":"person"}]}])").problems,
                HasProblem(Severity::error, "m.json", "'person'"));
    EXPECT_THAT(refusal(R"("tables":[{"columns":[{"role":"food"}]}])").problems,
                HasProblem(Severity::error, "m.json", "column is missing"));
    EXPECT_THAT(refusal(R"("tables":[{"layout":"tall"}])").problems,
                HasProblem(Severity::error, "m.json", "wide-by-time"));
    EXPECT_THAT(refusal(R"("tables":[{"delimiter":"x"}])").problems,
                HasProblem(Severity::error, "m.json", "delimiter"));
    EXPECT_THAT(refusal(R"("tables":[{"source":-1}])").problems,
                HasProblem(Severity::error, "m.json", "tables[0].source"));
    EXPECT_THAT(refusal(R"("subject_digits":21)").problems,
                HasProblem(Severity::error, "m.json", "subject_digits"));
    EXPECT_THAT(refusal(R"("title":7)").problems, HasProblem(Severity::error, "m.json", "mend it in m.json"));
    EXPECT_THAT(refusal(R"("date_order":"year")").problems,
                HasProblem(Severity::error, "m.json", "day-month, month-day"));
}

TEST(MappingJson, RefusesOtherFiles) {
    EXPECT_FALSE(readMapping("", "m.json").mapping);
    EXPECT_FALSE(readMapping("[]", "m.json").mapping);
    EXPECT_FALSE(readMapping("{", "m.json").mapping);
    EXPECT_THAT(readMapping(R"({"format":"aftercurve-study","version":1})", "m.json").problems,
                HasProblem(Severity::error, "m.json", "not a mapping"));
    EXPECT_THAT(readMapping(R"({"format":"aftercurve-mapping","version":2})", "m.json").problems,
                HasProblem(Severity::error, "m.json", "version is 2"));
    EXPECT_FALSE(readMapping(R"({"format":7,"version":1})", "m.json").mapping);
    EXPECT_FALSE(readMapping(std::string(5u << 20, ' '), "m.json").mapping);
    EXPECT_FALSE(readMapping(std::string(100, '[') + std::string(100, ']'), "m.json").mapping);
}

TEST(Mapping, PatternsMatchAnyText) {
    EXPECT_TRUE(fitsPattern("Glucose March", "glucose*"));
    EXPECT_TRUE(fitsPattern("anything", "*"));
    EXPECT_TRUE(fitsPattern("", "*"));
    EXPECT_TRUE(fitsPattern("a-b-c", "*-*c"));
    EXPECT_TRUE(fitsPattern("aab", "*ab"));
    EXPECT_FALSE(fitsPattern("Insulin", "glucose*"));
    EXPECT_FALSE(fitsPattern("x", ""));
    EXPECT_FALSE(fitsPattern(std::string(2000, 'a'), "*a*a*a*a*a*a*b"));
}

}  // namespace
}  // namespace aftercurve
