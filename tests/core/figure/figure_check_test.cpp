// Bounds of figures, and the words by which files name what they are drawn with.
#include "core/figure/figure_check.h"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include <cmath>
#include <functional>

#include "core/figure/figure_words.h"

namespace aftercurve {
namespace {

using testing::HasSubstr;
using testing::IsEmpty;

FigureSpec oneFigure() {
    FigureSpec spec;
    spec.id = "fig-1";
    spec.panels.emplace_back().kind = "curves_mean";
    return spec;
}

TEST(FigureCheck, AFigureOfDefaultsCanBeDrawn) {
    EXPECT_THAT(validate(oneFigure()), IsEmpty());
}

TEST(FigureCheck, WhatCannotBeDrawnIsNamedByItsKey) {
    const struct {
        const char* key;
        std::function<void(FigureSpec&)> spoil;
    } wrongs[] = {
        {"id", [](FigureSpec& s) { s.id = "../x"; }},
        {"id", [](FigureSpec& s) { s.id = ""; }},
        {"id", [](FigureSpec& s) { s.id = std::string(201, 'a'); }},
        {"columns", [](FigureSpec& s) { s.columns = 0; }},
        {"columns", [](FigureSpec& s) { s.columns = 7; }},
        {"panels", [](FigureSpec& s) { s.panels.clear(); }},
        {"panels", [](FigureSpec& s) { s.panels.resize(25, s.panels[0]); }},
        {"panels[0].kind", [](FigureSpec& s) { s.panels[0].kind.clear(); }},
        {"panels[0].visit", [](FigureSpec& s) { s.panels[0].visit = -1; }},
        {"panels[0].x",
         [](FigureSpec& s) {
             s.panels[0].frame.x.low = 5.0;
             s.panels[0].frame.x.high = 5.0;
         }},
        {"panels[0].y", [](FigureSpec& s) { s.panels[0].frame.y.low = std::nan(""); }},
        {"panels[0].key_at",
         [](FigureSpec& s) {
             s.panels[0].frame.key = KeyPlace{1.0, 0.0};
         }},
        {"style.width_mm", [](FigureSpec& s) { s.style.widthMm = 19.9; }},
        {"style.height_mm", [](FigureSpec& s) { s.style.heightMm = 401.0; }},
        {"style.font_pt", [](FigureSpec& s) { s.style.fontPt = std::nan(""); }},
        {"style.line_pt", [](FigureSpec& s) { s.style.linePt = 0.0; }},
        {"style.font", [](FigureSpec& s) { s.style.fontFamily.clear(); }},
        {"style.foods[0].colour",
         [](FigureSpec& s) {
             s.style.foods = {{"a", "", "red", "", ""}};
         }},
        {"style.foods[0].mark",
         [](FigureSpec& s) {
             s.style.foods = {{"a", "", "", "star", ""}};
         }},
        {"style.foods[0].dash",
         [](FigureSpec& s) {
             s.style.foods = {{"a", "", "", "", "wavy"}};
         }},
        {"style.foods[0].food",
         [](FigureSpec& s) {
             s.style.foods = {{"", "", "", "", ""}};
         }},
        {"style.foods[1].food",
         [](FigureSpec& s) {
             s.style.foods = {{"a", "", "", "", ""}, {"a", "", "", "", ""}};
         }},
    };
    for (const auto& [key, spoil] : wrongs) {
        FigureSpec spec = oneFigure();
        spoil(spec);
        const std::vector<Problem> problems = validate(spec);
        ASSERT_EQ(problems.size(), 1U) << key;
        EXPECT_EQ(problems[0].column, key);
        EXPECT_FALSE(problems[0].remedy.empty()) << key;
    }
}

TEST(FigureCheck, IdsOfAListDifferAlsoOnDisksThatTakeCasesForOne) {
    std::vector<FigureSpec> list{oneFigure(), oneFigure()};
    list[1].id = "FIG-1";
    const auto problems = validate(list);
    ASSERT_EQ(problems.size(), 1U);
    EXPECT_EQ(problems[0].column, "figures[1].id");
    list[1].id = "fig-2";
    EXPECT_THAT(validate(list), IsEmpty());
}

TEST(FigureCheck, WhatAStudyDoesNotHaveIsAWarning) {
    Study study;
    study.foods = {{"bread", "Bread", FoodRole::test, {}, {}}};
    study.analytes = {{"glucose", "mmol/L", ""}};
    FigureSpec spec = oneFigure();
    spec.panels[0].frame.unit = "mg/dL";
    EXPECT_THAT(figureRemarks(study, std::vector{spec}), IsEmpty());
    spec.panels[0].kind = "pie";
    spec.panels[0].food = "oats";
    spec.panels[0].frame.unit = "furlongs";
    spec.style.foods = {{"rye", "", "", "", ""}};
    const auto remarks = figureRemarks(study, std::vector{spec});
    ASSERT_EQ(remarks.size(), 4U);
    for (const Problem& remark : remarks) {
        EXPECT_EQ(remark.severity, Severity::warning);
    }
    EXPECT_THAT(remarks[0].what, HasSubstr("'pie'"));
    EXPECT_THAT(remarks[1].what, HasSubstr("'oats'"));
    EXPECT_THAT(remarks[2].what, HasSubstr("furlongs"));
    EXPECT_EQ(remarks[3].column, "figures[0].style.foods[0].food");
}

TEST(FigureWords, EachWordComesBack) {
    for (const auto spread :
         {FigureSpread::standardError, FigureSpread::standardDeviation, FigureSpread::confidenceInterval}) {
        EXPECT_EQ(figureSpreadFrom(wordFor(spread)), spread);
    }
    for (const auto language : {FigureLanguage::english, FigureLanguage::german, FigureLanguage::swedish}) {
        EXPECT_EQ(figureLanguageFrom(wordFor(language)), language);
    }
    EXPECT_EQ(markFrom("open-triangle-down"), (MarkChoice{FoodMark::triangleDown, true}));
    EXPECT_EQ(markFrom("circle"), (MarkChoice{FoodMark::circle, false}));
    EXPECT_EQ(markFrom("open-"), std::nullopt);
    EXPECT_EQ(dashFrom("dash-dot"), FoodDash::dashDot);
    EXPECT_TRUE(isColour("#0072B2"));
    EXPECT_FALSE(isColour("#0072B"));
    EXPECT_FALSE(isColour("0072b2f"));
}

}  // namespace
}  // namespace aftercurve
