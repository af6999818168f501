// Boxes of the flow: none overlaps another, all lie inside the room, and every count is in them. The picture
// itself is drawn from these boxes alone.
#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include <algorithm>
#include <array>
#include <random>

#include "tests/support/figure_fixture.h"
#include "ui/export/figure_export.h"
#include "ui/figures/figure.h"
#include "ui/figures/flow_boxes.h"

namespace aftercurve {
namespace {

/// A font whose characters (bytes) are all half as wide as a line is high.
FlowFont plainFont(double height) {
    return {[height](const std::string& text, double scale) {
                return 0.5 * height * scale * static_cast<double>(text.size());
            },
            [height](double scale) { return height * scale; }};
}

Study threeFoods() {
    Study study;
    study.foods = {{"drink", "Glucose drink", FoodRole::reference, {}, {}},
                   {"bread", "Barley bread with kelp flour and a long name", FoodRole::test, {}, {}},
                   {"wafer", "Unbreakablewordthatgoesonandonwithoutanyspaceinit", FoodRole::test, {}, {}}};
    return study;
}

StudyFlow flowOf(std::size_t sequences, int periods, unsigned seed) {
    std::mt19937 random{seed};
    const std::array<std::string, 3> foods{"drink", "bread", "wafer"};
    StudyFlow flow;
    flow.subjects = 40;
    for (std::size_t s = 0; s < sequences; ++s) {
        const std::string name = sequences == 1 ? "" : "S" + std::to_string(s + 10);
        for (int period = 1; period <= periods; ++period) {
            FlowStage stage{name, seed % 5 == 0 ? 0 : period, foods[random() % 3], 5, 5, {}, 5, 0};
            if (stage.period == 0) {
                stage.food = foods[static_cast<std::size_t>(period) % 3];
            }
            if (random() % 3 == 0) {
                stage.analysed = 4;
                stage.losses = {{"not estimable: last value at 60 min, before the window's end", 1, 1}};
            }
            flow.stages.push_back(stage);
        }
    }
    return flow;
}

bool overlap(const FlowBox& a, const FlowBox& b) {
    constexpr double hair = 1e-9;
    return a.x < b.right() - hair && b.x < a.right() - hair && a.y < b.bottom() - hair &&
           b.y < a.bottom() - hair;
}

std::string textOf(const FlowBox& box) {
    std::string text;
    for (const std::string& line : box.lines) {
        text += (text.empty() ? "" : " ") + line;
    }
    return text;
}

std::string allText(const FlowBoxes& boxes) {
    std::string text;
    for (const FlowBox& box : boxes.boxes) {
        text += textOf(box) + "\n";
    }
    return text;
}

using testing::HasSubstr;
using testing::Not;

TEST(FlowBoxes, NoTwoOverlapAndAllAreInsideTheRoom) {
    // 175 mm by 105 mm at 96 pixels an inch, and a single column; a font of 7 points.
    const FlowFont font = plainFont(9.3);
    for (unsigned seed = 1; seed <= 200; ++seed) {
        const std::size_t sequences = 1 + seed % 12;
        const StudyFlow flow = flowOf(sequences, 1 + static_cast<int>(seed % 7), seed);
        for (const auto& [width, height] : {std::pair{661.0, 397.0}, std::pair{321.0, 397.0}}) {
            const FlowBoxes boxes = flowBoxes(threeFoods(), flow, width, height, font);
            for (std::size_t i = 0; i < boxes.boxes.size(); ++i) {
                const FlowBox& box = boxes.boxes[i];
                EXPECT_GE(box.x, 0.0);
                EXPECT_GE(box.y, 0.0);
                EXPECT_LE(box.right(), width + 1e-9);
                EXPECT_LE(box.bottom(), height + 1e-9) << seed;
                for (const std::string& line : box.lines) {
                    EXPECT_LE(font.width(line, boxes.scale), box.width) << line;
                }
                EXPECT_GE(box.height, font.lineHeight(boxes.scale) * static_cast<double>(box.lines.size()));
                for (std::size_t j = 0; j < i; ++j) {
                    EXPECT_FALSE(overlap(box, boxes.boxes[j]))
                        << seed << ": " << box.name << " and " << boxes.boxes[j].name;
                }
            }
            EXPECT_FALSE(boxes.grouped && sequences <= 8 && width > 600.0) << seed;
            EXPECT_TRUE(boxes.grouped || sequences <= 8);
        }
    }
}

TEST(FlowBoxes, HoldEveryCountAndReason) {
    StudyFlow flow;
    flow.subjects = 21;
    flow.without = 1;
    flow.analysed = 19;
    flow.complete = 17;
    flow.stages = {{"AB", 1, "drink", 10, 10, {}, 10, 0},
                   {"AB", 2, "bread", 9, 8, {{"excluded: vomited", 1, 1}}, 10, 1},
                   {"BA", 1, "bread", 10, 10, {}, 11, 1},
                   {"BA", 2, "drink", 9, 9, {}, 11, 2}};
    const FlowBoxes boxes = flowBoxes(threeFoods(), flow, 661.0, 397.0, plainFont(9.3));
    EXPECT_EQ(boxes.scale, 1.0);
    EXPECT_FALSE(boxes.reasonsCounted);
    const std::string text = allText(boxes);
    for (const char* words :
         {"On record: 21 subjects", "Without any visit: 1", "not recorded in the study files",
          "Sequence AB (n = 10)", "Sequence BA (n = 11)", "Period 1 Glucose drink: 10 came, 10 analysed",
          "9 came, 8 analysed Did not come: 1 1 visit not analysed: excluded: vomited",
          "Analysed with at least one food: 19", "Analysed with every food that has a visit: 17"}) {
        EXPECT_THAT(text, HasSubstr(words));
    }
    // One arrow to each box but the first.
    EXPECT_EQ(std::count_if(boxes.lines.begin(), boxes.lines.end(), [](const FlowLine& l) { return l.head; }),
              static_cast<std::ptrdiff_t>(boxes.boxes.size() - 1));
}

TEST(FlowBoxes, WithoutSequencesStandInOneColumnByFood) {
    StudyFlow flow;
    flow.subjects = 5;
    flow.stages = {{"", 0, "drink", 5, 5, {}, 5, 0}, {"", 0, "bread", 4, 4, {}, 5, 1}};
    const FlowBoxes boxes = flowBoxes(threeFoods(), flow, 661.0, 397.0, plainFont(9.3));
    ASSERT_EQ(boxes.boxes.size(), 4U);
    EXPECT_EQ(boxes.boxes[1].name, "stage::0:drink");
    EXPECT_EQ(boxes.boxes[1].x, boxes.boxes[2].x);
    EXPECT_LT(boxes.boxes[1].bottom(), boxes.boxes[2].y);
    EXPECT_THAT(allText(boxes), Not(HasSubstr("Sequence")));
}

TEST(FlowBoxes, MoreThanEightSequencesAddUpAndSaySo) {
    StudyFlow flow;
    flow.subjects = 18;
    for (int s = 0; s < 9; ++s) {
        flow.stages.push_back({"S" + std::to_string(s), 1, "drink", 2, 1, {{"excluded: ill", 1, 1}}, 2, 0});
    }
    const FlowBoxes boxes = flowBoxes(threeFoods(), flow, 661.0, 397.0, plainFont(9.3));
    EXPECT_TRUE(boxes.grouped);
    EXPECT_THAT(allText(boxes), HasSubstr("9 sequences together"));
    EXPECT_THAT(allText(boxes), HasSubstr("18 came, 9 analysed 9 visits not analysed: excluded: ill"));
}

TEST(FlowFigure, DrawsItsTextAsTextAndEscapesIt) {
    auto input = fixture::smallInput();
    input.study.foods[0].label = "<script>&\x01 drink";
    input.findings.flow.subjects = 3;
    input.findings.flow.stages = {{"", 0, input.study.foods[0].id, 3, 3, {}, 3, 0}};
    const auto bytes =
        renderFigure(figureKind("flow"), input.study, input.findings, {}, {}, {FigureFormat::svg, 300});
    ASSERT_TRUE(bytes.ok());
    EXPECT_TRUE(bytes.value().contains("On record: 3 subjects"));
    EXPECT_FALSE(bytes.value().contains("<script"));
    EXPECT_FALSE(bytes.value().contains('\x01'));
    EXPECT_FALSE(figureKind("flow").available(input.study, Findings{}, {}));
}

}  // namespace
}  // namespace aftercurve
