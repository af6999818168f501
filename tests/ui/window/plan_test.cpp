#include <QComboBox>
#include <QFile>
#include <QJsonDocument>
#include <QJsonObject>
#include <QLabel>
#include <QLineEdit>
#include <QMessageBox>
#include <QTest>

#include "tests/ui/window/window_fixture.h"
#include "ui/window/result_view.h"
#include "ui/window/word_controls.h"

namespace aftercurve::test {

namespace {

const std::string someRow = "glucose/area_positive_incremental/pearled-porridge";

class PlanOnTop : public WindowTest {
  protected:
    void SetUp() override { openSample(QStringLiteral("barley-index")); }

    QJsonObject planInFile() const {
        QFile file(window_->session().folder() + QStringLiteral("/study.json"));
        EXPECT_TRUE(file.open(QIODevice::ReadOnly));
        return QJsonDocument::fromJson(file.readAll()).object().value(QStringLiteral("plan")).toObject();
    }
};

}  // namespace

TEST_F(PlanOnTop, AWindowTypedComputesAnewAndMarksWhatChanged) {
    const std::string before = cell("summary", someRow, "mean");
    EXPECT_FALSE(find<QWidget>("marks.chip").isVisible());
    type(find<NumberBox>("plan.windowEnd"), QStringLiteral("90"));
    ASSERT_TRUE(waitForResults());
    const std::string after = cell("summary", someRow, "mean");
    EXPECT_NE(after, before);
    EXPECT_EQ(window_->session().results()->findings.plan.windowEndMin, 90.0);
    EXPECT_TRUE(find<QLabel>("marks.chip").isVisible());
    EXPECT_GT(find<StepButton>("step.measures").changed(), 0);

    ResultTableModel& table = find<ResultView>("table.summary").source();
    const int column = table.columnOf("mean");
    bool found = false;
    for (int row = 0; row < table.rowCount(); ++row) {
        const QModelIndex at = table.index(row, column);
        if (at.data(ResultTableModel::keyRole).toString().toStdString() == someRow) {
            found = true;
            EXPECT_EQ(at.data(Qt::ToolTipRole).toString().toStdString(), "was " + before);
            EXPECT_TRUE(at.data(Qt::BackgroundRole).isValid());
            EXPECT_TRUE(at.data(ResultTableModel::changedRole).toBool());
        }
    }
    EXPECT_TRUE(found);
    press("marks.clear");
    EXPECT_FALSE(find<QLabel>("marks.chip").isVisible());
    EXPECT_EQ(find<StepButton>("step.measures").changed(), 0);
}

TEST_F(PlanOnTop, UndoRestoresTheResultsAndTakesTheMarksAway) {
    const std::string before = cell("summary", someRow, "mean");
    type(find<NumberBox>("plan.windowEnd"), QStringLiteral("60"));
    ASSERT_TRUE(waitForResults());
    ASSERT_NE(cell("summary", someRow, "mean"), before);
    EXPECT_TRUE(window_->isWindowModified());
    QTest::keyClick(window_.get(), Qt::Key_Z, Qt::ControlModifier);
    ASSERT_TRUE(waitUntil([&] { return window_->session().plan().windowEndMin == 120.0; }));
    ASSERT_TRUE(waitForResults());
    EXPECT_EQ(cell("summary", someRow, "mean"), before);
    EXPECT_EQ(find<NumberBox>("plan.windowEnd").value(), 120.0);
    EXPECT_FALSE(find<QLabel>("marks.chip").isVisible());
    EXPECT_FALSE(window_->isWindowModified());
    trigger("action.redo");
    ASSERT_TRUE(waitForResults());
    EXPECT_EQ(window_->session().plan().windowEndMin, 60.0);
}

TEST_F(PlanOnTop, ArrowPressesOnANumberAreOneUndoStep) {
    auto& end = find<NumberBox>("plan.windowEnd");
    end.setFocus();
    for (int i = 0; i < 3; ++i) {
        QTest::keyClick(&end, Qt::Key_Down);
        ASSERT_TRUE(waitUntil([&] { return window_->session().plan().windowEndMin == end.value(); }));
    }
    ASSERT_TRUE(waitForResults());
    EXPECT_EQ(window_->session().plan().windowEndMin, 75.0);
    EXPECT_EQ(window_->session().undoStack().count(), 1);
    trigger("action.undo");
    EXPECT_EQ(window_->session().plan().windowEndMin, 120.0);
}

TEST_F(PlanOnTop, AChoiceIsItsOwnUndoStep) {
    auto& baseline = find<QComboBox>("plan.baseline");
    baseline.setFocus();
    QTest::keyClick(&baseline, Qt::Key_Down);
    ASSERT_TRUE(waitForResults());
    EXPECT_EQ(window_->session().plan().baseline, BaselineRule::timeZero);
    QTest::keyClick(&baseline, Qt::Key_Up);
    ASSERT_TRUE(waitForResults());
    EXPECT_EQ(window_->session().undoStack().count(), 2);
}

TEST_F(PlanOnTop, NumbersMayHaveADecimalCommaOrPoint) {
    auto& alpha = find<NumberBox>("plan.alpha");
    type(alpha, QStringLiteral("0,01"));
    ASSERT_TRUE(waitForResults());
    EXPECT_EQ(window_->session().plan().alpha, 0.01);
    type(alpha, QStringLiteral("0.1"));
    ASSERT_TRUE(waitForResults());
    EXPECT_EQ(window_->session().plan().alpha, 0.1);
}

TEST_F(PlanOnTop, AnInvalidPlanIsSaidInWordsAndTheOldResultsStay) {
    const auto results = window_->session().results();
    type(find<NumberBox>("plan.windowEnd"), QStringLiteral("5000"));
    auto& message = find<QLabel>("plan.message");
    ASSERT_TRUE(waitUntil([&] { return message.isVisible(); }));
    EXPECT_TRUE(message.text().contains(QStringLiteral("5000"))) << message.text().toStdString();
    EXPECT_TRUE(message.text().contains(QStringLiteral("plan before this change")));
    EXPECT_EQ(window_->session().results(), results);
    EXPECT_FALSE(window_->session().resultsAreCurrent());
    type(find<NumberBox>("plan.windowEnd"), QStringLiteral("120"));
    ASSERT_TRUE(waitForResults());
    EXPECT_FALSE(message.isVisible());
}

TEST_F(PlanOnTop, SavingWritesThePlanIntoStudyJson) {
    type(find<NumberBox>("plan.windowEnd"), QStringLiteral("90"));
    ASSERT_TRUE(waitForResults());
    QTest::keyClick(window_.get(), Qt::Key_S, Qt::ControlModifier);
    EXPECT_EQ(planInFile().value(QStringLiteral("window_end_min")).toDouble(), 90.0);
    EXPECT_FALSE(window_->isWindowModified());
}

TEST_F(PlanOnTop, AFailedSaveIsSaidAndThePlanStaysModified) {
    type(find<NumberBox>("plan.windowEnd"), QStringLiteral("90"));
    ASSERT_TRUE(waitForResults());
    QDir(window_->session().folder()).removeRecursively();
    trigger("action.save");
    auto* box = window_->findChild<QMessageBox*>(QStringLiteral("saveFailure"));
    ASSERT_NE(box, nullptr);
    EXPECT_FALSE(box->text().isEmpty());
    EXPECT_TRUE(window_->isWindowModified());
    box->close();
}

TEST_F(PlanOnTop, ClosingWithAChangedPlanAsks) {
    window_->close();
    EXPECT_EQ(asked_, 0);
    window_->show();
    type(find<NumberBox>("plan.windowEnd"), QStringLiteral("90"));
    ASSERT_TRUE(waitForResults());
    answer_ = SaveAnswer::cancel;
    EXPECT_FALSE(window_->close());
    EXPECT_EQ(asked_, 1);
    answer_ = SaveAnswer::discard;
    EXPECT_TRUE(window_->close());
    EXPECT_EQ(planInFile().value(QStringLiteral("window_end_min")).toDouble(), 120.0);
    window_->show();
    answer_ = SaveAnswer::save;
    EXPECT_TRUE(window_->close());
    EXPECT_EQ(asked_, 3);
    EXPECT_EQ(planInFile().value(QStringLiteral("window_end_min")).toDouble(), 90.0);
}

TEST_F(PlanOnTop, OpeningAnotherStudyWithAChangedPlanAsks) {
    type(find<NumberBox>("plan.windowEnd"), QStringLiteral("90"));
    ASSERT_TRUE(waitForResults());
    answer_ = SaveAnswer::cancel;
    window_->openStudy(QStringLiteral(TEST_SAMPLES "/pulse-wafer-crossover"));
    EXPECT_EQ(asked_, 1);
    EXPECT_FALSE(window_->session().isBusy());
    EXPECT_TRUE(window_->session().folder().endsWith(QStringLiteral("barley-index")));
}

}  // namespace aftercurve::test
