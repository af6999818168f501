#include <QClipboard>
#include <QComboBox>
#include <QDir>
#include <QFile>
#include <QGuiApplication>
#include <QLabel>
#include <QLineEdit>
#include <QPlainTextEdit>
#include <QPushButton>
#include <QTabWidget>
#include <QTableView>
#include <QTest>

#include "tests/ui/window/window_fixture.h"
#include "ui/figures/plot_library.h"
#include "ui/window/figure_view.h"
#include "ui/window/pages/planning_page.h"

namespace aftercurve::test {

namespace {

class Planning : public WindowTest {
  protected:
    QString text(const char* label) { return find<QLabel>(label).text(); }
    void put(const char* field, const QString& value) { type(find<QLineEdit>(field), value); }
    void ask(int question) { find<QComboBox>("planning.question").setCurrentIndex(question); }
    void showOrder() { find<QTabWidget>("planning.halves").setCurrentIndex(1); }
    QString balance() { return find<QPlainTextEdit>("planning.balance").toPlainText(); }
};

}  // namespace

TEST_F(Planning, IsReachedFromTheStartWithoutAStudyAndLeftAgain) {
    press("start.plan");
    EXPECT_TRUE(find<QWidget>("planningPage").isVisible());
    EXPECT_FALSE(find<QWidget>("planSentence").isVisible());
    EXPECT_FALSE(find<QAbstractButton>("step.curves").isEnabled());
    press("planning.back");
    EXPECT_TRUE(find<QWidget>("startPage").isVisible());
    openSample(QStringLiteral("barley-index"));
    EXPECT_TRUE(find<QAbstractButton>("step.curves").isEnabled());
    EXPECT_TRUE(find<QWidget>("planSentence").isVisible());
    press("step.planning");
    EXPECT_TRUE(find<QWidget>("planningPage").isVisible());
    EXPECT_FALSE(find<QWidget>("planning.back").isVisible());
    QTest::keyClick(&find<QAbstractButton>("step.planning"), Qt::Key_Right);
    EXPECT_TRUE(window_->page(Step::study).isVisible());
    QTest::keyClick(&find<QAbstractButton>("step.study"), Qt::Key_Left);
    EXPECT_TRUE(find<QWidget>("planningPage").isVisible());
}

// Published table of the exact noncentral t: dz 0.5, power 0.80 needs 34; at 34 the power is 0.8078.
TEST_F(Planning, SubjectsForADifferenceInWordsFigureAndClipboard) {
    window_->showPlanning();
    put("planning.difference", QStringLiteral("25"));
    put("planning.spread", QStringLiteral("50"));
    put("planning.dropout", QStringLiteral("0"));
    EXPECT_TRUE(text("planning.answer").startsWith(QStringLiteral("34 subjects who complete")))
        << text("planning.answer").toStdString();
    put("planning.n", QStringLiteral("34"));
    EXPECT_TRUE(text("planning.forN").contains(QStringLiteral("power 80.8 %")))
        << text("planning.forN").toStdString();
    press("planning.copy");
    EXPECT_TRUE(QGuiApplication::clipboard()->text().startsWith(text("planning.answer")));
    auto& figure = find<FigureView>("planning.figure");
    ASSERT_TRUE(waitUntil([&] { return figure.isDrawn(); }));
    auto* plot = figure.findChild<QCustomPlot*>();
    bool marked = false;
    for (int i = 0; i < plot->graphCount(); ++i) {
        if (plot->graph(i)->objectName() == QStringLiteral("answer")) {
            marked = true;
            EXPECT_DOUBLE_EQ(plot->graph(i)->data()->at(0)->key, 34.0);
            EXPECT_NEAR(plot->graph(i)->data()->at(0)->value, 80.77775013, 1e-6);
        }
    }
    EXPECT_TRUE(marked);
    EXPECT_TRUE(find<QAction>("action.exportFigure").isEnabled());
}

TEST_F(Planning, EveryQuestionHasAnAnswer) {
    window_->showPlanning();
    for (int question = 0; question < find<QComboBox>("planning.question").count(); ++question) {
        ask(question);
        for (int scale = 0; scale < 2; ++scale) {
            find<QComboBox>("planning.scale").setCurrentIndex(scale);
            EXPECT_TRUE(text("planning.answer").contains(QStringLiteral("subjects who complete")))
                << question << ' ' << scale << ' ' << text("planning.answer").toStdString();
            EXPECT_TRUE(find<FigureView>("planning.figure").hasFigure()) << question;
        }
    }
}

TEST_F(Planning, FaultsAreSaidAndNothingIsDrawn) {
    window_->showPlanning();
    const std::pair<const char*, const char*> faults[]{
        {"planning.difference", "0"},   {"planning.difference", "x"}, {"planning.spread", "0"},
        {"planning.spread", "-4"},      {"planning.spread", "1e301"}, {"planning.alpha", "0"},
        {"planning.power", "1"},        {"planning.power", "nan"},    {"planning.dropout", "1"},
        {"planning.comparisons", "-1"}, {"planning.multiple", "0"},   {"planning.difference", ""},
    };
    for (const auto& [field, bad] : faults) {
        const QString good = find<QLineEdit>(field).text();
        put(field, QLatin1String(bad));
        EXPECT_FALSE(text("planning.answer").contains(QStringLiteral("who complete"))) << field << ' ' << bad;
        EXPECT_FALSE(text("planning.answer").isEmpty()) << field << ' ' << bad;
        put(field, good);
        EXPECT_TRUE(text("planning.answer").contains(QStringLiteral("who complete")))
            << field << ' ' << good.toStdString();
    }
    ask(2);
    put("planning.low", QStringLiteral("40"));
    EXPECT_TRUE(text("planning.answer").contains(QStringLiteral("not below the upper")));
    EXPECT_FALSE(find<FigureView>("planning.figure").hasFigure());
}

// SD of differences of the sample study: 42.4465143336 (tests/reference/sample_studies_comparisons.csv).
TEST_F(Planning, TakesTheScatterFromAnEarlierStudy) {
    window_->showPlanning();
    folder_ = QStringLiteral(TEST_SAMPLES "/barley-index");
    press("planning.earlier");
    auto& offered = find<QComboBox>("planning.offered");
    ASSERT_TRUE(waitUntil([&] { return offered.count() > 0; }));
    EXPECT_GE(offered.currentIndex(), 0);
    for (int i = 0; i < offered.count(); ++i) {
        if (offered.itemText(i).startsWith(QStringLiteral("SD of differences 42.45"))) {
            offered.setCurrentIndex(i);
        }
    }
    EXPECT_EQ(find<QLineEdit>("planning.spread").text(), QStringLiteral("42.44651433"));
    EXPECT_EQ(find<QComboBox>("planning.spreadKind").currentIndex(), 0);
    EXPECT_TRUE(text("planning.earlierText").contains(QStringLiteral("12 subjects")));
    folder_ = inTemp(QStringLiteral("none"));
    press("planning.earlier");
    EXPECT_TRUE(waitUntil([&] { return text("planning.earlierText").contains(QStringLiteral("error")); }));
    EXPECT_EQ(offered.count(), 0);
}

TEST_F(Planning, TakesTheScatterOfTheOpenStudyForTheIndex) {
    openSample(QStringLiteral("barley-index"));
    press("step.planning");
    ask(5);
    press("planning.openStudy");
    EXPECT_TRUE(text("planning.earlierText").startsWith(QStringLiteral("SD between subjects of the index")));
    EXPECT_TRUE(text("planning.answer").contains(QStringLiteral("interval of the mean index")));
}

TEST_F(Planning, DrawsSavesAndChecksASchedule) {
    window_->showPlanning();
    showOrder();
    put("planning.foods", QStringLiteral("oats, barley, pea"));
    put("planning.subjects", QStringLiteral("24"));
    put("planning.seed", QStringLiteral("7"));
    auto& table = find<QTableView>("planning.schedule");
    EXPECT_EQ(table.model()->rowCount(), 24);
    EXPECT_EQ(table.model()->columnCount(), 6);
    EXPECT_TRUE(balance().startsWith(QStringLiteral("Nothing is unbalanced.")));
    folder_ = inTemp(QStringLiteral("plan"));
    press("planning.saveSchedule");
    EXPECT_TRUE(QFile::exists(folder_ + QStringLiteral("/schedule.csv")));
    find<QAbstractButton>("planning.sealed").click();
    EXPECT_EQ(table.model()->columnCount(), 4);
    press("planning.saveSchedule");
    EXPECT_TRUE(QFile::exists(folder_ + QStringLiteral("/key/key.csv")));
    EXPECT_TRUE(text("planning.scheduleWords").contains(QStringLiteral("does not meet the subjects")));
    file_ = folder_ + QStringLiteral("/schedule.csv");
    press("planning.checkFile");
    EXPECT_TRUE(balance().startsWith(QStringLiteral("Of ")));
    EXPECT_TRUE(balance().contains(QStringLiteral("carry-over balanced")));
    file_ = folder_ + QStringLiteral("/none.csv");
    press("planning.checkFile");
    EXPECT_TRUE(balance().contains(QStringLiteral("could not be read")));
    put("planning.strata", QStringLiteral("women:12, men:6"));
    EXPECT_EQ(table.model()->rowCount(), 18);
    EXPECT_EQ(table.model()->columnCount(), 5);
}

TEST_F(Planning, FaultyScheduleIsSaidAndCannotBeSaved) {
    window_->showPlanning();
    showOrder();
    const std::pair<const char*, const char*> faults[]{
        {"planning.foods", "oats"},   {"planning.foods", "oats, oats"},          {"planning.foods", ""},
        {"planning.subjects", "0"},   {"planning.subjects", "100001"},           {"planning.subjects", "x"},
        {"planning.strata", "women"}, {"planning.strata", "a:3, a:3"},           {"planning.block", "5"},
        {"planning.seed", "-1"},      {"planning.seed", "99999999999999999999"},
    };
    for (const auto& [field, bad] : faults) {
        const QString good = find<QLineEdit>(field).text();
        put(field, QLatin1String(bad));
        EXPECT_FALSE(find<QPushButton>("planning.saveSchedule").isEnabled()) << field << ' ' << bad;
        EXPECT_FALSE(text("planning.scheduleWords").isEmpty());
        EXPECT_EQ(find<QTableView>("planning.schedule").model()->rowCount(), 0);
        put(field, good);
        EXPECT_TRUE(find<QPushButton>("planning.saveSchedule").isEnabled()) << field;
    }
    find<QComboBox>("planning.design").setCurrentIndex(1);
    EXPECT_TRUE(balance().contains(QStringLiteral("carry-over is not balanced")));
}

}  // namespace aftercurve::test
