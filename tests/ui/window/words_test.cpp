// Methods and results in the window: a sentence shows the rows it rests on and leads to the first of them.
#include <QClipboard>
#include <QGuiApplication>
#include <QListWidget>
#include <QPlainTextEdit>
#include <QPushButton>
#include <QTest>

#include "core/findings/sentence.h"
#include "tests/ui/window/window_fixture.h"
#include "ui/models/text.h"
#include "ui/window/figure_view.h"
#include "ui/window/pages/page.h"
#include "ui/window/result_view.h"

namespace aftercurve::test {

namespace {

class Words : public WindowTest {
  protected:
    void SetUp() override {
        openSample(QStringLiteral("pulse-wafer-crossover"));
        window_->show();
        ASSERT_TRUE(window_->showTab(QStringLiteral("words")));
        QCoreApplication::processEvents();
    }

    QListWidget& list() { return find<QListWidget>("words.sentences"); }

    /// Row of the list whose text begins so; −1: none.
    int rowOf(const char* begin) {
        for (int row = 0; row < list().count(); ++row) {
            if (list().item(row)->text().startsWith(QString::fromUtf8(begin))) {
                return row;
            }
        }
        return -1;
    }
};

}  // namespace

TEST_F(Words, HoldAllSentencesOfTheResults) {
    const auto results = window_->session().results();
    const auto methods = methodsSentences(*results->study, results->findings);
    const auto found = resultsSentences(*results->study, results->findings);
    ASSERT_EQ(list().count(), static_cast<int>(methods.size() + found.size()) + 2);
    EXPECT_EQ(list().item(0)->text(), QStringLiteral("Methods"));
    EXPECT_EQ(list().item(1)->text(), shown(methods.front().text));
    EXPECT_EQ(list().item(list().count() - 1)->text(), shown(found.back().text));
}

TEST_F(Words, ASentenceShowsItsRowsAndLeadsToThem) {
    const int row = rowOf("Mean glucose incremental area was lower after Pulse-flour wafer");
    ASSERT_GE(row, 0);
    list().setCurrentRow(row);
    const QString text = find<QPlainTextEdit>("words.rows").toPlainText();
    EXPECT_TRUE(text.contains(QStringLiteral("Mean difference: -48.7"))) << text.toStdString();
    EXPECT_TRUE(find<QPushButton>("words.lead").isEnabled());
    press("words.lead");
    QCoreApplication::processEvents();
    auto& comparisons = find<ResultView>("table.comparisons");
    EXPECT_TRUE(comparisons.isVisible());
    EXPECT_EQ(comparisons.currentTableRow(), 0);
}

TEST_F(Words, ASentenceOnTheFlowLeadsToItsTab) {
    const int row = rowOf("Pulse-flour wafer (sequence BA, period 2): 9 subjects came");
    ASSERT_GE(row, 0);
    list().setCurrentRow(row);
    press("words.lead");
    QCoreApplication::processEvents();
    auto& flow = find<ResultView>("table.flow");
    EXPECT_TRUE(flow.isVisible());
    EXPECT_NE(window_->page(Step::evidence).figure(), nullptr);
}

TEST_F(Words, WithoutRowsThatIsSaid) {
    list().setCurrentRow(rowOf("The window ran from 0 to 180 min."));
    EXPECT_TRUE(
        find<QPlainTextEdit>("words.rows").toPlainText().startsWith(QStringLiteral("No row of a table")));
    EXPECT_FALSE(find<QPushButton>("words.lead").isEnabled());
}

TEST_F(Words, AreCopiedAsText) {
    QGuiApplication::clipboard()->clear();
    press("words.copy");
    const QString text = QGuiApplication::clipboard()->text();
    EXPECT_TRUE(text.startsWith(QStringLiteral("Methods\n\nIn a crossover within subjects")))
        << text.toStdString();
    EXPECT_TRUE(text.contains(QStringLiteral("\n\nResults\n\n20 subjects were on record")));
}

}  // namespace aftercurve::test
