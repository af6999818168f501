// Curves of each subject, of more subjects than one page can hold.
#include <gtest/gtest.h>

#include "tests/support/figure_fixture.h"
#include "ui/figures/curves_subjects.h"
#include "ui/figures/plot_elements.h"
#include "ui/figures/plot_frame.h"

namespace aftercurve {
namespace {

fixture::FigureInput manySubjects(int count) {
    fixture::FigureInput input = fixture::smallInput();
    const CurveFinding model = input.findings.curves[0];
    input.findings.curves.clear();
    for (int i = 0; i < count; ++i) {
        CurveFinding curve = model;
        curve.subject = "s" + std::to_string(i + 1);
        curve.value.back() = 4.0 + 0.01 * i;
        input.findings.curves.push_back(curve);
    }
    return input;
}

/// Number of panels, words under them, and the highest value that their axes show.
struct DrawnPage {
    int panels = 0;
    QString words;
    QString first;
    double top = 0.0;
};

DrawnPage drawn(const fixture::FigureInput& input, int page) {
    QCustomPlot plot;
    plot.resize(661, 800);
    FigureChoice choice;
    choice.page = page;
    curvesSubjectsFigure().draw(plot, input.study, input.findings, choice, {});
    DrawnPage found;
    found.panels = plot.axisRectCount();
    found.top = yAxisOf(*plot.axisRect(0))->range().upper;
    found.first = qobject_cast<QCPItemText*>(plot.item(0))->text();
    for (const QCPLayoutElement* element : plot.plotLayout()->elements(true)) {
        const auto* block = dynamic_cast<const TextBlock*>(element);
        if (block != nullptr && block->text().startsWith(QStringLiteral("Subjects "))) {
            found.words = block->text();
        }
    }
    return found;
}

}  // namespace

// Expected numbers are counted by hand: 130 subjects at 60 a page are 60, 60 and 10.
TEST(SubjectPages, DrawOnePageOfManySubjectsAndSayWhich) {
    const fixture::FigureInput input = manySubjects(130);
    EXPECT_EQ(pagesOfSubjects(input.study, input.findings, {}), 3);
    const DrawnPage first = drawn(input, 0);
    EXPECT_EQ(first.panels, 60);
    EXPECT_EQ(first.first, QStringLiteral("s1"));
    EXPECT_EQ(first.words, QStringLiteral("Subjects 1 to 60 of 130 (page 1 of 3)"));
    const DrawnPage last = drawn(input, 3);
    EXPECT_EQ(last.panels, 10);
    EXPECT_EQ(last.first, QStringLiteral("s121"));
    EXPECT_EQ(last.words, QStringLiteral("Subjects 121 to 130 of 130 (page 3 of 3)"));
    EXPECT_EQ(first.top, last.top) << "pages share their axes";
    EXPECT_EQ(drawn(input, 99).words, last.words) << "a page beyond the last is the last";
}

TEST(SubjectPages, SayNothingWhereOnePageHoldsAll) {
    const fixture::FigureInput input = manySubjects(60);
    EXPECT_EQ(pagesOfSubjects(input.study, input.findings, {}), 1);
    const DrawnPage page = drawn(input, 0);
    EXPECT_EQ(page.panels, 60);
    EXPECT_TRUE(page.words.isEmpty());
}

}  // namespace aftercurve
