#include <QAction>
#include <QApplication>
#include <QClipboard>
#include <QDir>
#include <QFile>
#include <QLabel>
#include <QLineEdit>
#include <QPushButton>
#include <QTabWidget>
#include <QTableView>
#include <QTest>

#include "core/files/ledger.h"
#include "core/files/study_folder.h"
#include "tests/ui/window/window_fixture.h"
#include "ui/models/samples_model.h"
#include "ui/models/text.h"

namespace aftercurve::test {

namespace {

/// The pulse study, open for editing by "KM".
class Editing : public WindowTest {
  protected:
    void SetUp() override {
        openSample(QStringLiteral("pulse-wafer-crossover"));
        window_->setStep(Step::samples);
    }

    void giveReason() {
        WindowTest::giveReason(QStringLiteral("samples"),
                               QStringLiteral("typing error, checked against the sheet"));
    }

    QTableView& samples() { return find<QTableView>("samples.view"); }
    SamplesModel& model() { return *static_cast<SamplesModel*>(samples().model()); }
    int column(const char* name) { return model().columnNamed(name).value(); }
    QModelIndex cell(int row, const char* name) { return model().index(row, column(name)); }
    QString text(int row, const char* name) { return cell(row, name).data(Qt::EditRole).toString(); }

    void typeInto(int row, const char* name, const QString& words) {
        WindowTest::typeInto(samples(), cell(row, name), words);
    }

    std::filesystem::path folder() { return window_->session().folder().toStdString(); }
};

}  // namespace

TEST_F(Editing, AChangeNeedsWhoAndWhy) {
    const QString before = text(3, "glucose");
    typeInto(3, "glucose", QStringLiteral("9.9"));
    EXPECT_EQ(text(3, "glucose"), before);
    EXPECT_TRUE(find<QLabel>("samples.words").text().contains(QStringLiteral("Not changed")));
    EXPECT_FALSE(window_->session().isModified());
}

TEST_F(Editing, AValueIsChangedUndoneSavedAndOnRecord) {
    giveReason();
    const QString before = text(3, "glucose");
    typeInto(3, "glucose", QStringLiteral("9.9"));
    EXPECT_EQ(text(3, "glucose"), QStringLiteral("9.9"));
    ASSERT_TRUE(waitForResults());
    EXPECT_EQ(window_->session().results()->study->concentrations[0][3], 9.9);
    trigger("action.undo");
    EXPECT_EQ(text(3, "glucose"), before);
    trigger("action.redo");
    EXPECT_EQ(text(3, "glucose"), QStringLiteral("9.9"));
    ASSERT_EQ(window_->session().unsavedChanges().size(), 1U);
    trigger("action.save");
    EXPECT_FALSE(window_->session().isModified());
    const StudyReading again = readStudyFolder(folder());
    ASSERT_TRUE(again.study);
    EXPECT_EQ(again.study->concentrations[0][3], 9.9);
    const Result<Ledger> ledger = readLedger(folder());
    ASSERT_TRUE(ledger.ok());
    ASSERT_FALSE(ledger.value().check.entries.empty());
    const LedgerEntry& entry = ledger.value().check.entries.front();
    EXPECT_EQ(entry.by, "KM");
    EXPECT_EQ(entry.from, plain(before));
    EXPECT_EQ(entry.to, "9.9");
    EXPECT_EQ(entry.why, "typing error, checked against the sheet");
    EXPECT_FALSE(ledger.value().check.broken);
    window_->setStep(Step::history);
    auto& history = find<QTableView>("history.view");
    EXPECT_GE(history.model()->rowCount(), 1);
    EXPECT_TRUE(find<QLabel>("history.about").text().contains(QStringLiteral("chain holds")));
}

TEST_F(Editing, ATextThatIsNoNumberIsRefusedOrFlagged) {
    giveReason();
    typeInto(3, "time_min", QStringLiteral("soon"));
    EXPECT_NE(text(3, "time_min"), QStringLiteral("soon"));
    EXPECT_TRUE(find<QLabel>("samples.words").isVisible());
    typeInto(3, "glucose", QStringLiteral("<2"));
    EXPECT_EQ(text(3, "glucose"), QStringLiteral("<2"));
    ASSERT_TRUE(waitForResults());
    EXPECT_EQ(window_->session().study()->belowLimit.size(), 1U);
}

TEST_F(Editing, ABlockIsPastedAsOneStep) {
    giveReason();
    const QString first = text(0, "glucose");
    QGuiApplication::clipboard()->setText(QStringLiteral("5,1\r\n5,2\r\n5,3\r\n"));
    samples().setCurrentIndex(cell(0, "glucose"));
    samples().setFocus();
    find<QAction>("samples.paste").trigger();
    EXPECT_EQ(text(0, "glucose"), QStringLiteral("5.1"));
    EXPECT_EQ(text(2, "glucose"), QStringLiteral("5.3"));
    EXPECT_TRUE(find<QLabel>("samples.words").text().contains(QStringLiteral("decimal commas")));
    trigger("action.undo");
    EXPECT_EQ(text(0, "glucose"), first);
    EXPECT_FALSE(window_->session().isModified());
    // One cell that does not fit, and nothing of the block is taken.
    QGuiApplication::clipboard()->setText(QStringLiteral("5.1\t1\nfive\t1\n"));
    samples().setCurrentIndex(cell(0, "time_min"));
    find<QAction>("samples.paste").trigger();
    EXPECT_FALSE(window_->session().isModified());
}

TEST_F(Editing, FillDownClearAndFind) {
    giveReason();
    const QString top = text(0, "glucose");
    QItemSelection three(cell(0, "glucose"), cell(2, "glucose"));
    samples().selectionModel()->select(three, QItemSelectionModel::ClearAndSelect);
    find<QAction>("samples.fill").trigger();
    EXPECT_EQ(text(1, "glucose"), top);
    EXPECT_EQ(text(2, "glucose"), top);
    samples().selectionModel()->select(three, QItemSelectionModel::ClearAndSelect);
    find<QAction>("samples.clear").trigger();
    EXPECT_TRUE(text(1, "glucose").isEmpty());
    typeInto(7, "glucose", QStringLiteral("8.765"));
    auto& search = find<QLineEdit>("samples.find");
    search.setText(QStringLiteral("8.765"));
    samples().setCurrentIndex(model().index(0, 0));
    QTest::keyClick(&search, Qt::Key_Return);
    EXPECT_EQ(samples().currentIndex().row(), 7);
}

TEST_F(Editing, SortingMovesRowsOnScreenOnly) {
    model().sort(column("glucose"), Qt::DescendingOrder);
    double last = 1e9;
    for (int row = 0; row < 20; ++row) {
        const double value = text(row, "glucose").toDouble();
        EXPECT_LE(value, last);
        last = value;
    }
    EXPECT_FALSE(window_->session().isModified());
    model().sort(-1, Qt::AscendingOrder);
    EXPECT_EQ(model().studyRow(0), 0U);
}

TEST_F(Editing, ASubjectIsRenamedEverywhere) {
    giveReason();
    window_->setStep(Step::study);
    find<QTabWidget>("study.tables").setCurrentIndex(1);
    auto& view = find<QTableView>("subjects.view");
    const std::string old = window_->session().study()->subjects[0].id;
    ASSERT_TRUE(view.model()->setData(view.model()->index(0, 0), QStringLiteral("S-A"), Qt::EditRole));
    EXPECT_EQ(window_->session().study()->subjects[0].id, "S-A");
    trigger("action.undo");
    EXPECT_EQ(window_->session().study()->subjects[0].id, old);
}

TEST_F(Editing, AnExclusionIsMadeShownWithoutAndTakenBack) {
    const std::size_t before = window_->session().study()->exclusions.size();
    Exclusion sample;
    sample.subject = window_->session().study()->subjects[0].id;
    const auto n = [this] { return window_->session().results()->findings.comparisons.front().t.n; };
    const std::size_t all = n();
    samples().setCurrentIndex(cell(0, "glucose"));
    Q_EMIT samples().customContextMenuRequested(samples().visualRect(cell(0, "glucose")).center());
    find<QAction>("editMenu.excludeSubject").trigger();
    EXPECT_FALSE(find<QPushButton>("exclude.go").isEnabled());
    QTest::keyClicks(&find<QLineEdit>("exclude.reason"), QStringLiteral("withdrew consent"));
    QTest::keyClicks(&find<QLineEdit>("exclude.by"), QStringLiteral("KM"));
    press("exclude.go");
    ASSERT_EQ(window_->session().study()->exclusions.size(), before + 1);
    ASSERT_TRUE(waitForResults());
    EXPECT_EQ(n(), all - 1);
    window_->setStep(Step::exclusions);
    press("exclusions.without");
    ASSERT_TRUE(waitForResults());
    EXPECT_EQ(n(), all + 1) << "the study's own exclusion is set aside too";
    press("notice.exclude");
    ASSERT_TRUE(waitForResults());
    EXPECT_EQ(n(), all - 1);
    trigger("action.undo");
    EXPECT_EQ(window_->session().study()->exclusions.size(), before);
}

TEST_F(Editing, UnsavedChangesAreTakenUpAgainAfterAnEarlyEnd) {
    giveReason();
    typeInto(3, "glucose", QStringLiteral("9.9"));
    const QString path = window_->session().folder();
    // What a killed program leaves behind: the files as they were and the log.
    const QString copy = copyOfStudy(path, inTemp(QStringLiteral("copies")));
    QFile::copy(path + QStringLiteral("/.aftercurve-unsaved.jsonl"),
                copy + QStringLiteral("/.aftercurve-unsaved.jsonl"));
    answer_ = SaveAnswer::discard;
    open(copy);
    EXPECT_NE(text(3, "glucose"), QStringLiteral("9.9"));
    press("notice.takeUp");
    EXPECT_EQ(text(3, "glucose"), QStringLiteral("9.9"));
    ASSERT_EQ(window_->session().unsavedChanges().size(), 1U);
    EXPECT_EQ(window_->session().unsavedChanges()[0].by, "KM");
    EXPECT_EQ(window_->session().unsavedChanges()[0].why, "typing error, checked against the sheet");
}

TEST_F(Editing, ASecondWindowMayOnlyLook) {
    auto second = makeWindow();
    second->openStudy(window_->session().folder());
    ASSERT_TRUE(waitUntil([&] { return second->session().hasStudy() && !second->session().isBusy(); }));
    EXPECT_FALSE(second->session().readOnlyBecause().isEmpty());
    EXPECT_NE(second->findChild<QPushButton*>(QStringLiteral("notice.saveCopy")), nullptr);
    auto* view = second->findChild<QTableView*>(QStringLiteral("samples.view"));
    EXPECT_FALSE(view->model()->flags(view->model()->index(0, 1)).testFlag(Qt::ItemIsEditable));
}

TEST_F(Editing, AChangeOnDiskIsTold) {
    QFile file(window_->session().folder() + QStringLiteral("/samples.csv"));
    ASSERT_TRUE(file.open(QIODevice::Append));
    file.write("\n");
    file.close();
    ASSERT_TRUE(waitUntil(
        [this] { return window_->findChild<QPushButton*>(QStringLiteral("notice.readAgain")) != nullptr; }));
    giveReason();
    typeInto(3, "glucose", QStringLiteral("9.9"));
    find<QAction>("action.save").trigger();
    EXPECT_TRUE(window_->session().isModified());
    EXPECT_NE(window_->findChild<QDialog*>(QStringLiteral("saveFailure")), nullptr);
}

TEST_F(Editing, ACopyIsWrittenAndOpened) {
    folder_ = inTemp(QStringLiteral("copy-of-study"));
    trigger("action.saveCopy");
    ASSERT_TRUE(waitUntil([this] { return window_->session().folder() == folder_; }));
    ASSERT_TRUE(waitForResults());
    EXPECT_TRUE(QFile::exists(folder_ + QStringLiteral("/samples.csv")));
}

}  // namespace aftercurve::test
