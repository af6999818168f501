// The dialog that writes a report, from the menu File.
#include "ui/window/report_dialog.h"

#include <QCheckBox>
#include <QFileInfo>
#include <QLabel>
#include <QLineEdit>
#include <QMessageBox>
#include <QPushButton>
#include <QSignalSpy>

#include "tests/ui/window/window_fixture.h"

namespace aftercurve::test {

namespace {

class ReportMenu : public WindowTest {
  protected:
    ReportDialog& dialog() {
        trigger("action.exportReport");
        auto& shown = find<ReportDialog>("report");
        find<QLineEdit>("report.path").setText(inTemp(QStringLiteral("out")));
        return shown;
    }
    QString outcome() { return find<QLabel>("report.outcome").text(); }
};

}  // namespace

TEST_F(ReportMenu, NeedsAStudyWithResults) {
    EXPECT_FALSE(find<QAction>("action.exportReport").isEnabled());
}

TEST_F(ReportMenu, WritesBothFiles) {
    openSample(QStringLiteral("barley-index"));
    auto& shown = dialog();
    find<QCheckBox>("report.figures").setChecked(false);
    QSignalSpy written(&shown, &ReportDialog::written);
    press("report.make");
    ASSERT_TRUE(waitUntil([&] { return written.count() == 1; }, 120000)) << outcome().toStdString();
    for (const char* name : {"out/report.html", "out/report.pdf"}) {
        EXPECT_GT(QFileInfo(inTemp(QLatin1String(name))).size(), 1000) << name;
    }
    shown.close();
}

TEST_F(ReportMenu, StopWritesNothing) {
    openSample(QStringLiteral("barley-index"));
    auto& shown = dialog();
    press("report.make");
    press("report.stop");
    EXPECT_TRUE(outcome().contains(QStringLiteral("Stopped"))) << outcome().toStdString();
    EXPECT_TRUE(find<QPushButton>("report.make").isEnabled());
    EXPECT_FALSE(QFileInfo::exists(inTemp(QStringLiteral("out/report.html"))));
    shown.close();
}

TEST_F(ReportMenu, SaysWhatIsWrong) {
    openSample(QStringLiteral("barley-index"));
    auto& shown = dialog();
    find<QLineEdit>("report.date").setText(QStringLiteral("soon"));
    press("report.make");
    EXPECT_TRUE(waitUntil([&] { return find<QPushButton>("report.make").isEnabled(); }));
    EXPECT_TRUE(outcome().contains(QStringLiteral("2026-03-02"))) << outcome().toStdString();
    find<QLineEdit>("report.date").clear();
    find<QCheckBox>("report.html").setChecked(false);
    find<QCheckBox>("report.pdf").setChecked(false);
    press("report.make");
    EXPECT_TRUE(waitUntil([&] { return find<QPushButton>("report.make").isEnabled(); }));
    EXPECT_TRUE(outcome().contains(QStringLiteral("Choose HTML"))) << outcome().toStdString();
    find<QLineEdit>("report.path").clear();
    press("report.make");
    EXPECT_TRUE(outcome().contains(QStringLiteral("where")));
    shown.close();
}

TEST_F(ReportMenu, AChangedStudyIsToBeSavedFirst) {
    openSample(QStringLiteral("barley-index"));
    Plan plan = window_->session().plan();
    plan.alpha = 0.1;
    window_->session().editPlan(plan, PlanPart::alpha);
    ASSERT_TRUE(window_->session().isModified());
    trigger("action.exportReport");
    EXPECT_TRUE(find<QMessageBox>("reportFailure").informativeText().contains(QStringLiteral("Save")));
    find<QMessageBox>("reportFailure").close();
    waitForResults();
}

}  // namespace aftercurve::test
