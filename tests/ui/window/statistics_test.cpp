// The tabs of the step Comparisons, driven as a reader would.
#include <QAbstractButton>
#include <QCheckBox>
#include <QClipboard>
#include <QComboBox>
#include <QDialog>
#include <QGuiApplication>
#include <QLabel>
#include <QLineEdit>
#include <QPlainTextEdit>
#include <QPointer>
#include <QPushButton>
#include <QSet>
#include <QTabBar>
#include <QTest>

#include "tests/ui/window/window_fixture.h"
#include "ui/window/figure_view.h"
#include "ui/window/pages/page.h"
#include "ui/window/result_view.h"
#include "ui/window/statistics/statistics_view.h"

namespace aftercurve::test {

namespace {

class Statistics : public WindowTest {
  protected:
    void SetUp() override {
        openSample(QStringLiteral("pulse-wafer-crossover"));
        window_->show();
        window_->setStep(Step::comparisons);
    }

    void showTab(const char* name) {
        ASSERT_TRUE(window_->showTab(QLatin1String(name)));
        QCoreApplication::processEvents();
    }

    ResultView& table(const char* key) { return find<ResultView>(key); }

    /// A click on the cell of a column in the first row.
    void clickCell(ResultView& view, std::string_view column) {
        const QModelIndex at = view.model()->index(0, view.source().columnOf(column));
        view.scrollTo(at);
        QTest::mouseClick(view.viewport(), Qt::LeftButton, {}, view.visualRect(at).center());
    }
};

}  // namespace

TEST_F(Statistics, EveryTabHasATableOrSaysWhyNot) {
    const QStringList names = window_->tabNames();
    EXPECT_EQ(QSet<QString>(names.begin(), names.end()).size(), names.size());
    for (const StatisticsView& view : statisticsViews()) {
        showTab(view.name.toLatin1().constData());
        auto& page = find<QWidget>(("statistics." + view.name.toStdString()).c_str());
        EXPECT_TRUE(page.isVisible()) << view.name.toStdString();
        auto* shown =
            page.findChild<ResultView*>(QStringLiteral("table.") + QString::fromStdString(view.table));
        ASSERT_NE(shown, nullptr);
        ASSERT_NE(shown->table(), nullptr) << view.name.toStdString();
        EXPECT_EQ(shown->isVisible(), !shown->table()->rows.empty()) << view.name.toStdString();
        EXPECT_FALSE(shown->table()->emptyText.empty());
    }
}

TEST_F(Statistics, AChosenNumberShowsHowItCameAboutAndCopiesIt) {
    showTab("companions");
    clickCell(table("table.companions"), "estimate");
    const QString text = find<QPlainTextEdit>("companions.working").toPlainText();
    EXPECT_TRUE(text.contains(QStringLiteral("Formula: "))) << text.toStdString();
    EXPECT_TRUE(text.contains(QStringLiteral("of each subject:"))) << text.toStdString();
    QGuiApplication::clipboard()->clear();
    QTest::mouseClick(&find<QPushButton>("companions.copyWorking"), Qt::LeftButton);
    EXPECT_EQ(QGuiApplication::clipboard()->text(), text);
    // A cell of words stands for the first number of its row; a row without a number has no working.
    clickCell(table("table.companions"), "method");
    EXPECT_EQ(find<QPlainTextEdit>("companions.working").toPlainText(), text);
    showTab("registered");
    EXPECT_TRUE(find<QPlainTextEdit>("registered.working").toPlainText().isEmpty());
    EXPECT_FALSE(find<QPushButton>("registered.copyWorking").isEnabled());
}

TEST_F(Statistics, ThePairedTestShowsItsWorkingToo) {
    showTab("paired");
    QTest::mouseClick(&find<QAbstractButton>("comparisons.showWorking"), Qt::LeftButton);
    clickCell(table("table.comparisons"), "sd_difference");
    const QString text = find<QPlainTextEdit>("comparisons.working").toPlainText();
    EXPECT_TRUE(text.startsWith(QStringLiteral("SD: glucose"))) << text.toStdString();
    EXPECT_TRUE(text.contains(QStringLiteral("Difference of each subject:")));
    EXPECT_EQ(window_->page(Step::comparisons).figure(), nullptr);
}

TEST_F(Statistics, MarginsTypedGiveRowsAndUndoTakesThemBack) {
    showTab("margins");
    EXPECT_FALSE(table("table.margins").isVisible());
    enter("margins.differenceLow", QStringLiteral("-60"));
    enter("margins.differenceHigh", QStringLiteral("60"));
    ASSERT_TRUE(waitForResults());
    const auto margins = window_->session().plan().inference.margins;
    EXPECT_EQ(margins.differenceLow, -60.0);
    EXPECT_EQ(margins.differenceHigh, 60.0);
    EXPECT_TRUE(table("table.margins").isVisible());
    EXPECT_FALSE(window_->session().results()->findings.companions.margins.empty());
    EXPECT_TRUE(find<FigureView>("margins.figure").hasFigure());
    trigger("action.undo");
    trigger("action.undo");
    ASSERT_TRUE(waitForResults());
    EXPECT_FALSE(window_->session().plan().inference.margins.differenceHigh);
    EXPECT_TRUE(find<QLineEdit>("margins.differenceHigh").text().isEmpty());
    EXPECT_FALSE(table("table.margins").isVisible());
}

TEST_F(Statistics, WhatCannotBeReadLeavesThePlan) {
    showTab("companions");
    const Plan before = window_->session().plan();
    enter("companions.trim", QStringLiteral("much"));
    EXPECT_EQ(window_->session().plan(), before);
    EXPECT_EQ(find<QLineEdit>("companions.trim").text(), QStringLiteral("0.2"));
    EXPECT_TRUE(find<QLineEdit>("companions.trim").toolTip().contains(QStringLiteral("much")));
    enter("companions.seed", QStringLiteral("-4"));
    EXPECT_EQ(window_->session().plan(), before);
    enter("companions.trim", QStringLiteral("0,1"));
    EXPECT_EQ(window_->session().plan().inference.trim, 0.1);
    EXPECT_TRUE(waitForResults());
}

TEST_F(Statistics, OtherChoicesCanBeLeftOut) {
    showTab("sensitivity");
    EXPECT_TRUE(table("table.sensitivity").isVisible());
    EXPECT_TRUE(find<FigureView>("sensitivity.figure").hasFigure());
    QTest::mouseClick(&find<QCheckBox>("sensitivity.on"), Qt::LeftButton, {},
                      QPoint(8, find<QCheckBox>("sensitivity.on").height() / 2));
    ASSERT_TRUE(waitForResults());
    EXPECT_FALSE(window_->session().plan().inference.sensitivity);
    EXPECT_FALSE(table("table.sensitivity").isVisible());
}

TEST_F(Statistics, TheModelFollowsItsChoices) {
    showTab("model");
    auto& df = find<QComboBox>("model.df");
    EXPECT_EQ(df.currentData().toString(), QStringLiteral("satterthwaite"));
    df.setFocus();
    QTest::keyClick(&df, Qt::Key_Down);
    ASSERT_TRUE(waitForResults());
    EXPECT_EQ(window_->session().plan().inference.modelDf, ModelDf::kenwardRoger);
    EXPECT_EQ(window_->session().results()->findings.models[0].dfMethod, "kenward-roger");
}

TEST_F(Statistics, ThePlanIsRegisteredAndAChangeIsListed) {
    showTab("registered");
    EXPECT_FALSE(table("table.plan_registered").isVisible());
    press("registered.register");
    QPointer<QDialog> dialog = &find<QDialog>("registerDialog");
    QTest::keyClicks(&find<QLineEdit>("register.reason"), QStringLiteral("with the ward"));
    find<QLineEdit>("register.by").clear();
    QTest::keyClicks(&find<QLineEdit>("register.by"), QStringLiteral("AB"));
    QTest::mouseClick(&find<QPushButton>("register.go"), Qt::LeftButton);
    ASSERT_TRUE(waitUntil([&] { return dialog.isNull() || !dialog->isVisible(); }));
    ASSERT_TRUE(waitForResults());
    ASSERT_EQ(window_->session().study()->registered.size(), 1U);
    EXPECT_EQ(window_->session().study()->registered[0].by, "AB");
    EXPECT_EQ(window_->session().study()->registered[0].note, "with the ward");
    EXPECT_TRUE(table("table.plan_registered").isVisible());
    EXPECT_EQ(window_->session().results()->findings.registered[0].differences, 0U);
    showTab("companions");
    enter("companions.trim", QStringLiteral("0.1"));
    ASSERT_TRUE(waitForResults());
    EXPECT_EQ(window_->session().results()->findings.registered[0].differences, 1U);
    EXPECT_TRUE(window_->session().save().ok());
    open(window_->session().folder());
    EXPECT_EQ(window_->session().study()->registered.size(), 1U);
}

TEST_F(Statistics, TheFigureShownIsTheOneExported) {
    showTab("assumptions");
    EXPECT_EQ(window_->page(Step::comparisons).figure(), &find<FigureView>("assumptions.figure"));
    showTab("model");
    EXPECT_EQ(window_->page(Step::comparisons).table(), &table("table.model"));
}

}  // namespace aftercurve::test
