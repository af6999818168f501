#include <QComboBox>
#include <QFile>
#include <QLabel>
#include <QLineEdit>
#include <QTableView>
#include <QTest>

#include "tests/ui/window/window_fixture.h"
#include "ui/models/problems_model.h"
#include "ui/models/samples_model.h"

namespace aftercurve::test {

namespace {

constexpr int badLine = 12;  // of samples.csv, the header being line 1

class ProblemsOnRows : public WindowTest {
  protected:
    /// A copy of the barley study whose glucose in one line cannot be read.
    void SetUp() override {
        const QString folder = copyOfStudy(QStringLiteral(TEST_SAMPLES "/barley-index"), temp_.path());
        QFile file(folder + QStringLiteral("/samples.csv"));
        ASSERT_TRUE(file.open(QIODevice::ReadOnly));
        QList<QByteArray> lines = file.readAll().split('\n');
        file.close();
        QList<QByteArray> cells = lines[badLine - 1].split(',');
        cells.last() = "lost";
        lines[badLine - 1] = cells.join(',');
        ASSERT_TRUE(file.open(QIODevice::WriteOnly));
        file.write(lines.join('\n'));
        file.close();
        open(folder);
        window_->setStep(Step::problems);
    }

    QModelIndex problemOfTheBadLine() {
        auto& view = find<QTableView>("problems.view");
        for (int row = 0; row < view.model()->rowCount(); ++row) {
            const QModelIndex place = view.model()->index(row, ProblemsModel::placeColumn);
            if (place.data().toString().startsWith(QStringLiteral("samples.csv:%1").arg(badLine))) {
                return place;
            }
        }
        return {};
    }

    void expectAtTheBadLine() {
        auto& samples = find<QTableView>("samples.view");
        EXPECT_TRUE(samples.isVisible());
        const QModelIndex at = samples.currentIndex();
        ASSERT_TRUE(at.isValid());
        EXPECT_EQ(at.siblingAtColumn(0).data().toInt(), badLine);
        const int remark = samples.model()->columnCount() - 1;
        EXPECT_TRUE(at.siblingAtColumn(remark).data().toString().contains(QStringLiteral("lost")));
        EXPECT_TRUE(
            at.siblingAtColumn(at.model()->columnCount() - 2).data(SamplesModel::flawedRole).toBool());
    }
};

}  // namespace

TEST_F(ProblemsOnRows, DoubleClickGoesToTheRowInSamples) {
    auto& view = find<QTableView>("problems.view");
    const QModelIndex at = problemOfTheBadLine();
    ASSERT_TRUE(at.isValid());
    view.scrollTo(at);
    const QPoint where = view.visualRect(at).center();
    QTest::mouseClick(view.viewport(), Qt::LeftButton, {}, where);
    QTest::mouseDClick(view.viewport(), Qt::LeftButton, {}, where);
    expectAtTheBadLine();
}

TEST_F(ProblemsOnRows, EnterGoesThereTooAndAFilterIsLifted) {
    find<QLineEdit>("samples.filter").setText(QStringLiteral("no such subject"));
    auto& view = find<QTableView>("problems.view");
    view.setCurrentIndex(problemOfTheBadLine());
    QTest::keyClick(&view, Qt::Key_Return);
    expectAtTheBadLine();
    EXPECT_TRUE(find<QLineEdit>("samples.filter").text().isEmpty());
}

TEST_F(ProblemsOnRows, StandErrorsFirstAndCanBeFilteredBySeverity) {
    auto& view = find<QTableView>("problems.view");
    EXPECT_EQ(view.model()->index(0, 0).data(ProblemsModel::severityRole).toInt(),
              static_cast<int>(Severity::error));
    const int all = view.model()->rowCount();
    auto& severity = find<QComboBox>("problems.severity");
    severity.setCurrentIndex(2);
    const int errors = view.model()->rowCount();
    EXPECT_GT(errors, 0);
    for (int row = 0; row < errors; ++row) {
        EXPECT_EQ(view.model()->index(row, 0).data().toString(), QStringLiteral("error"));
    }
    severity.setCurrentIndex(0);
    EXPECT_EQ(view.model()->rowCount(), all);
}

TEST_F(ProblemsOnRows, AStudyJsonProblemNamesItsKey) {
    const QString folder = copyOfStudy(QStringLiteral(TEST_SAMPLES "/pulse-wafer-crossover"), temp_.path());
    QFile file(folder + QStringLiteral("/study.json"));
    ASSERT_TRUE(file.open(QIODevice::ReadOnly));
    QByteArray text = file.readAll();
    file.close();
    // An index is asked for, and no food is a reference.
    text.replace("\"index\": false", "\"index\": true");
    ASSERT_TRUE(file.open(QIODevice::WriteOnly));
    file.write(text);
    file.close();
    open(folder);
    auto& view = find<QTableView>("problems.view");
    bool seen = false;
    for (int row = 0; row < view.model()->rowCount(); ++row) {
        const QModelIndex place = view.model()->index(row, ProblemsModel::placeColumn);
        if (place.data().toString().contains(QStringLiteral("plan.index"))) {
            seen = true;
            view.setCurrentIndex(place);
            QTest::keyClick(&view, Qt::Key_Return);
            EXPECT_TRUE(view.isVisible());
            EXPECT_TRUE(find<QLabel>("problems.where").text().contains(QStringLiteral("plan.index")));
        }
    }
    EXPECT_TRUE(seen);
    window_->setStep(Step::index);
    EXPECT_TRUE(find<QWidget>("index.empty").isVisible());
}

}  // namespace aftercurve::test
