// Figures as text: what is written comes back, what is wrong is named, what is not known stays.
#include "core/files/figure_spec_json.h"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include <algorithm>

#include "core/edit/edit.h"
#include "core/edit/study_json_patch.h"
#include "core/edit/unsaved_changes.h"
#include "core/files/study_json.h"
#include "tests/support/temp_folder.h"

namespace aftercurve {
namespace {

using testing::HasSubstr;
using testing::IsEmpty;

/// Every field differs from its default.
FigureSpec fullFigure() {
    FigureSpec spec;
    spec.id = "fig_1";
    spec.title = "Glucose and insulin";
    spec.caption = "After two breads.";
    spec.columns = 2;
    spec.letters = PanelLetters::small;
    PanelSpec panel;
    panel.kind = "curves_mean";
    panel.analyte = "glucose";
    panel.measure = "peak_rise";
    panel.food = "bread";
    panel.subject = "01";
    panel.visit = 2;
    panel.frame.title = "Bread";
    panel.frame.x = {0.0, 120.5, "Time"};
    panel.frame.y = {-1.0, std::nullopt, ""};
    panel.frame.unit = "mg/dL";
    panel.frame.spread = FigureSpread::confidenceInterval;
    panel.frame.showKey = false;
    panel.frame.key = KeyPlace{0.6, 0.05};
    spec.panels = {panel, panel};
    spec.panels[1] = PanelSpec{};
    spec.panels[1].kind = "pie of another program";
    spec.style.widthMm = 85.0;
    spec.style.heightMm = 60.5;
    spec.style.fontPt = 7.0;
    spec.style.fontFamily = "Serif";
    spec.style.linePt = 0.75;
    spec.style.grey = true;
    spec.style.language = FigureLanguage::swedish;
    spec.style.foods = {{"bread", "Bröd", "#0072b2", "open-circle", "long"}};
    return spec;
}

TEST(FigureFiles, WhatIsWrittenComesBack) {
    FigureSpec plain;
    plain.id = "two";
    plain.panels.emplace_back().kind = "index";
    const std::vector<FigureSpec> figures{fullFigure(), plain};
    const auto text = figureFileText(figures);
    ASSERT_TRUE(text.ok());
    const auto file = figureFileFrom(text.value(), "figures.json");
    ASSERT_TRUE(file.ok()) << file.problem().what;
    EXPECT_EQ(file.value().figures, figures);
    EXPECT_THAT(file.value().problems, IsEmpty());

    const test::TempFolder folder;
    ASSERT_TRUE(writeFigureFile(folder.path() / "f.json", figures).ok());
    const auto read = readFigureFile(folder.path() / "f.json");
    ASSERT_TRUE(read.ok());
    EXPECT_EQ(read.value().figures, figures);
    EXPECT_FALSE(readFigureFile(folder.path() / "none.json").ok());
}

TEST(FigureFiles, WhatIsWrongIsNamed) {
    const auto start = std::string{R"({"format": "aftercurve-figures", "version": 1, "figures": )"};
    const struct {
        std::string text;
        const char* path;
    } wrongs[] = {
        {"", ""},
        {"[]", "format"},
        {R"({"format": "aftercurve-study", "version": 1})", "format"},
        {R"({"format": "aftercurve-figures", "version": 2})", "version"},
        {R"({"format": "aftercurve-figures"})", "version"},
        {start + "7}", "figures"},
        {start + R"([{"id": "a"}]})", "figures[0].panels"},
        {start + R"([{"panels": [{"kind": "index"}]}]})", "figures[0].id"},
        {start + R"([{"id": "../a", "panels": [{"kind": "index"}]}]})", "figures[0].id"},
        {start + R"([{"id": "a", "columns": 1e9, "panels": [{"kind": "index"}]}]})", "figures[0].columns"},
        {start + R"([{"id": "a", "columns": 99999999999, "panels": [{"kind": "index"}]}]})",
         "figures[0].columns"},
        {start + R"([{"id": "a", "panels": [{"kind": "index", "y": {"low": 3, "high": 2}}]}]})",
         "figures[0].panels[0].y"},
        {start + R"([{"id": "a", "panels": [{"kind": "index", "spread": "range"}]}]})",
         "figures[0].panels[0].spread"},
        {start + R"([{"id": "a", "panels": [{"kind": "index"}], "style": {"language": "fr"}}]})",
         "figures[0].style.language"},
        {start + R"([{"id": "a", "panels": [{"kind": "index"}], "style": {"width_mm": "wide"}}]})",
         "figures[0].style.width_mm"},
    };
    for (const auto& [text, path] : wrongs) {
        const auto file = figureFileFrom(text, "figures.json");
        ASSERT_FALSE(file.ok()) << text;
        EXPECT_EQ(file.problem().column, path) << text;
    }
}

TEST(FigureFiles, HostileTextsAreBounded) {
    std::string many = R"({"format": "aftercurve-figures", "version": 1, "figures": [)";
    for (int i = 0; i < 501; ++i) {
        many += (i == 0 ? "{\"id\": \"f" : ",{\"id\": \"f") + std::to_string(i) +
                "\", \"panels\": [{\"kind\": \"index\"}]}";
    }
    EXPECT_FALSE(figureFileFrom(many + "]}", "f.json").ok());
    EXPECT_FALSE(figureFileFrom(std::string(5U << 20U, ' '), "f.json").ok());
    EXPECT_FALSE(figureFileFrom(std::string(100, '['), "f.json").ok());
    std::string panels =
        R"({"format": "aftercurve-figures", "version": 1, "figures": [{"id": "a", "panels": [)";
    for (int i = 0; i < 3000; ++i) {
        panels += i == 0 ? R"({"kind": "index"})" : R"(,{"kind": "index"})";
    }
    const auto file = figureFileFrom(panels + "]}]}", "f.json");
    ASSERT_FALSE(file.ok());
    EXPECT_EQ(file.problem().column, "figures[0].panels");
}

constexpr const char* studyText = R"({"format": "aftercurve-study", "version": 1,
 "foods": [{"id": "drink", "role": "reference"}, {"id": "bread", "role": "test"}],
 "analytes": [{"id": "glucose", "unit": "mmol/L"}], "samples": ["a.csv"],
 "figures": [{"id": "one", "panels": [{"kind": "curves_mean", "food": "bread", "ink": "blue"}], "printer": "B2"},
             {"id": "two", "panels": [{"kind": "pie"}]}]})";

StudyDeclaration declaredIn(const std::string& text, std::vector<Problem>* told = nullptr) {
    ProblemList problems{50};
    auto declared = readStudyJson(text, ReadLimits{}, problems);
    std::vector<Problem> list = problems.take();
    EXPECT_TRUE(declared) << (list.empty() ? "" : list[0].what);
    if (told != nullptr) {
        *told = std::move(list);
    }
    return declared ? std::move(*declared) : StudyDeclaration{};
}

TEST(FiguresOfAStudy, AreReadAndAnUnknownKindIsKeptWithAWarning) {
    std::vector<Problem> told;
    const Study study = declaredIn(studyText, &told).study;
    ASSERT_EQ(study.figures.size(), 2U);
    EXPECT_EQ(study.figures[0].panels[0].food, "bread");
    EXPECT_EQ(study.figures[1].panels[0].kind, "pie");
    EXPECT_EQ(std::count_if(told.begin(), told.end(),
                            [](const Problem& p) { return p.severity == Severity::warning; }),
              1);
}

TEST(FiguresOfAStudy, ASaveKeepsWhatItDoesNotKnow) {
    const Study was = declaredIn(studyText).study;
    Study now = was;
    std::vector<FigureSpec> figures = was.figures;
    std::swap(figures[0], figures[1]);
    figures[1].title = "Mean curves";
    figures.push_back(fullFigure());
    const auto inverse = apply(now, SetFigures{figures});
    ASSERT_TRUE(inverse.ok());
    Origins origins;
    origins.foods = {0, 1};
    origins.analytes = {0};
    const auto patched = patchedStudyJson(studyText, was, now, origins);
    ASSERT_TRUE(patched.ok());
    EXPECT_THAT(patched.value().text, HasSubstr("\"ink\": \"blue\""));
    EXPECT_THAT(patched.value().text, HasSubstr("\"printer\": \"B2\""));
    EXPECT_EQ(declaredIn(patched.value().text).study.figures, figures);
    ASSERT_TRUE(apply(now, inverse.value()).ok());
    EXPECT_EQ(now, was);
}

TEST(FiguresOfAStudy, AChangeIsLoggedDescribedAndRefused) {
    Study study = declaredIn(studyText).study;
    const Study before = study;
    std::vector<FigureSpec> figures{fullFigure(), study.figures[0]};
    figures[1].columns = 3;
    const Change change = SetFigures{figures};
    EXPECT_EQ(describe(study, change), "figure removed: two; figure added: fig_1; figure changed: one");
    const auto logged = changeFrom(changeJson(change));
    ASSERT_TRUE(logged.ok());
    ASSERT_TRUE(apply(study, logged.value()).ok());
    EXPECT_EQ(study.figures, figures);
    const auto cleared = changeFrom(changeJson(SetFigures{}));
    ASSERT_TRUE(cleared.ok());
    ASSERT_TRUE(apply(study, cleared.value()).ok());
    EXPECT_THAT(study.figures, IsEmpty());

    study = before;
    figures[0].title = "two\nlines";
    EXPECT_FALSE(apply(study, SetFigures{figures}).ok());
    figures[0].title.clear();
    figures[0].id = "one";
    EXPECT_FALSE(apply(study, SetFigures{figures}).ok());
    EXPECT_EQ(study, before);
}

TEST(FiguresOfAStudy, FollowAFoodThatIsRenamed) {
    Study study = declaredIn(studyText).study;
    study.figures[0].style.foods = {{"bread", "", "#000000", "", ""}, {"rye", "", "#000000", "", ""}};
    const Study before = study;
    EXPECT_FALSE(apply(study, SetCell{StudyTable::foods, 1, 0, "rye"}).ok())
        << "the figure's rye would then mean the bread";
    const auto back = apply(study, SetCell{StudyTable::foods, 1, 0, "loaf"});
    ASSERT_TRUE(back.ok());
    EXPECT_EQ(study.figures[0].panels[0].food, "loaf");
    EXPECT_EQ(study.figures[0].style.foods[0].food, "loaf");
    ASSERT_TRUE(apply(study, back.value()).ok());
    EXPECT_EQ(study, before);
}

}  // namespace
}  // namespace aftercurve
