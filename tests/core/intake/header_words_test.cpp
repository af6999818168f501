#include "core/intake/header_words.h"

#include <gtest/gtest.h>

#include <string>
#include <vector>

#include "core/intake/fold_text.h"

namespace aftercurve {
namespace {

struct Case {
    std::string header;
    std::string analyte;
    std::string unit;
    std::optional<double> timeMin;
};

TEST(HeaderWords, ReadsAnalyteUnitAndTime) {
    const std::vector<Case> cases{{"Glc mmol/l", "glucose", "mmol/L", std::nullopt},
                                  {"Glucose (mmol/L)", "glucose", "mmol/L", std::nullopt},
                                  {"glucose [mg/dL]", "glucose", "mg/dL", std::nullopt},
                                  {"glucose_mg_dl", "glucose", "mg/dL", std::nullopt},
                                  {"Blutzucker, mg/dl", "glucose", "mg/dL", std::nullopt},
                                  {"Glykämie", "", "", std::nullopt},
                                  {"Glycémie (mmol/l)", "glucose", "mmol/L", std::nullopt},
                                  {"glucose 0", "glucose", "", 0.0},
                                  {"glucose -5", "glucose", "", -5.0},
                                  {"ins_30", "insulin", "", 30.0},
                                  {"G0", "glucose", "", 0.0},
                                  {"t15 glucose", "glucose", "", 15.0},
                                  {"Glucose 30 min (mmol/L)", "glucose", "mmol/L", 30.0},
                                  {"Insulin µIU/mL", "insulin", "µIU/mL", std::nullopt},
                                  {"Insulin (mU/l)", "insulin", "µIU/mL", std::nullopt},
                                  {"Insuliini pmol/l", "insulin", "pmol/L", std::nullopt},
                                  {"C-peptide (nmol/L)", "c-peptide", "nmol/L", std::nullopt},
                                  {"TG mmol/L", "triglycerides", "mmol/L", std::nullopt},
                                  {"Glikoze, mmol/L", "glucose", "mmol/L", std::nullopt},
                                  {"plasma glucose 1h", "glucose", "", 60.0}};
    for (const Case& c : cases) {
        const HeaderReading reading = readHeader(c.header);
        if (c.analyte.empty()) {
            EXPECT_NE(reading.role, ColumnRole::analyte) << c.header;
            continue;
        }
        EXPECT_EQ(reading.role, ColumnRole::analyte) << c.header;
        EXPECT_EQ(reading.analyte, c.analyte) << c.header;
        EXPECT_EQ(reading.unit, c.unit) << c.header;
        EXPECT_EQ(reading.timeMin, c.timeMin) << c.header;
    }
}

TEST(HeaderWords, ReadsRolesInSeveralLanguages) {
    const std::vector<std::pair<std::string, ColumnRole>> cases{{"Subject ID", ColumnRole::subject},
                                                                {"Teilnehmer", ColumnRole::subject},
                                                                {"Försöksperson", ColumnRole::subject},
                                                                {"Dalībnieks", ColumnRole::subject},
                                                                {"Tiriamasis", ColumnRole::subject},
                                                                {"Uuritav", ColumnRole::subject},
                                                                {"Sujeto", ColumnRole::subject},
                                                                {"Test meal", ColumnRole::food},
                                                                {"Ēdiens", ColumnRole::food},
                                                                {"Måltid", ColumnRole::food},
                                                                {"Mahlzeit", ColumnRole::food},
                                                                {"Besuch", ColumnRole::visit},
                                                                {"Période", ColumnRole::period},
                                                                {"Date de visite", ColumnRole::date},
                                                                {"Kuupäev", ColumnRole::date},
                                                                {"Time (min)", ColumnRole::time},
                                                                {"Zeit [min]", ColumnRole::time},
                                                                {"Laiks", ColumnRole::time},
                                                                {"Nominal time", ColumnRole::nominalTime},
                                                                {"Uhrzeit", ColumnRole::clockTime},
                                                                {"First bite", ColumnRole::mealStart},
                                                                {"Geschlecht", ColumnRole::sex},
                                                                {"Ålder", ColumnRole::age},
                                                                {"BMI (kg/m2)", ColumnRole::bmi},
                                                                {"BMI (kg/m²)", ColumnRole::bmi},
                                                                {"Vecums", ColumnRole::age},
                                                                {"replicate", ColumnRole::replicate},
                                                                {"Dilution factor", ColumnRole::dilution},
                                                                {"Comments", ColumnRole::remark},
                                                                {"Insulin dilution", ColumnRole::dilution},
                                                                {"Glucose comment", ColumnRole::remark},
                                                                {"sequence", ColumnRole::sequence},
                                                                {"time_min", ColumnRole::time}};
    for (const auto& [header, role] : cases) {
        EXPECT_EQ(readHeader(header).role, role) << header;
    }
    EXPECT_EQ(readHeader("Time (h)").unit, "h");
    EXPECT_EQ(readHeader("Time (min)").unit, "min");
}

TEST(HeaderWords, SaysNothingOfUnknownHeaders) {
    for (const std::string header : {"", "Fibre batch", "P01", "glucosamine", "nurse", "x"}) {
        const HeaderReading reading = readHeader(header);
        EXPECT_FALSE(reading.role) << header;
        EXPECT_FALSE(reading.timeMin) << header;
    }
    EXPECT_FALSE(readHeader(std::string(5000, 'g')).role);
    EXPECT_TRUE(readHeader("Mean").statistic);
    EXPECT_EQ(readHeader("-5").timeMin, -5.0);
    EXPECT_FALSE(readHeader("-5").role);
}

TEST(HeaderWords, NamesAndRolesInLooserTexts) {
    EXPECT_EQ(analyteNamedIn("Insulin results, spring"), "insulin");
    EXPECT_EQ(analyteNamedIn("glucose and insulin"), "");
    EXPECT_EQ(analyteNamedIn("barley"), "");
    EXPECT_EQ(unitNamedIn("Glucose in mg/dl, capillary"), "mg/dL");
    EXPECT_EQ(foodRoleNamedIn("Glucose drink"), FoodRole::reference);
    EXPECT_EQ(foodRoleNamedIn("control porridge"), FoodRole::control);
    EXPECT_FALSE(foodRoleNamedIn("Barley porridge"));
    EXPECT_TRUE(isBelowLimitWord("n.d."));
    EXPECT_TRUE(isBelowLimitWord("<LOQ"));
    EXPECT_FALSE(isBelowLimitWord("haemolysed"));
}

TEST(FoldText, TakesOffWhatDoesNotMatter) {
    EXPECT_EQ(foldedWords("Zeit [Min.]"), "zeit min");
    EXPECT_EQ(foldedWords("Größe ÄÖÜ"), "grosse aou");
    EXPECT_EQ(foldedWords("ķēžš ŁÓDŹ æøå"), "kezs lodz aeoa");
    EXPECT_EQ(foldedWords("\xff\xfe bad"), "bad");
    EXPECT_EQ(stripped("\xc2\xa0 x \t\xc2\xa0"), "x");
    EXPECT_EQ(idFrom("Barley porridge"), "barley-porridge");
    EXPECT_EQ(idFrom("麦"), "food");
}

}  // namespace
}  // namespace aftercurve
