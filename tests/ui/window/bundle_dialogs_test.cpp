// The two dialogs of bundles, by themselves.
#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include <QElapsedTimer>
#include <QLabel>
#include <QLineEdit>
#include <QMessageBox>
#include <QPlainTextEdit>
#include <QPushButton>
#include <QSignalSpy>
#include <QTest>
#include <filesystem>

#include "tests/support/temp_folder.h"
#include "ui/window/make_bundle_dialog.h"
#include "ui/window/verify_bundle_dialog.h"

namespace aftercurve::test {
namespace {

namespace fs = std::filesystem;

bool comes(const std::function<bool()>& done) {
    QElapsedTimer since;
    since.start();
    while (!done() && since.elapsed() < 120'000) {
        QTest::qWait(5);
    }
    return done();
}

template <class T>
T& in(QWidget& dialog, const char* name) {
    T* found = dialog.findChild<T*>(QLatin1String(name));
    EXPECT_NE(found, nullptr) << name;
    return *found;
}

QString smallStudy(const TempFolder& folder, const std::string& lastColumn) {
    folder.write("small/study.json",
                 R"({ "format": "aftercurve-study", "version": 1, "title": "invented, small",
  "foods": [ { "id": "bread", "role": "control" }, { "id": "oats", "role": "test" } ],
  "analytes": [ { "id": "glucose", "unit": "mmol/L" } ], "samples": [ "samples.csv" ], "plan": { "index": false } })");
    folder.write("small/samples.csv", "subject,food,time_min,glucose," + lastColumn +
                                          "\n1,bread,0,5,x\n1,bread,60,8,x\n1,oats,0,5,x\n1,oats,60,6,x\n"
                                          "2,bread,0,5,x\n2,bread,60,9,x\n2,oats,0,5,x\n2,oats,60,6,x\n");
    return QString::fromStdString((folder.path() / "small").string());
}

QString reportOn(const QString& bundle) {
    VerifyBundleDialog dialog(nullptr);
    dialog.setAttribute(Qt::WA_DeleteOnClose, false);
    dialog.show();
    in<QLineEdit>(dialog, "verifyBundle.path").setText(bundle);
    auto& report = in<QPlainTextEdit>(dialog, "verifyBundle.report");
    auto& verify = in<QPushButton>(dialog, "verifyBundle.verify");
    QTest::mouseClick(&verify, Qt::LeftButton);
    EXPECT_TRUE(comes([&] { return verify.isEnabled(); }));
    return report.toPlainText();
}

struct Making {
    TempFolder folder;
    QString out = QString::fromStdString((folder.path() / "bundle.zip").string());
    MakeBundleDialog dialog;
    QSignalSpy written{&dialog, &MakeBundleDialog::written};

    explicit Making(const std::string& lastColumn)
        : dialog(smallStudy(folder, lastColumn), out, {}, nullptr) {
        dialog.setAttribute(Qt::WA_DeleteOnClose, false);
        dialog.show();
    }
    void press(const char* name) { QTest::mouseClick(&in<QPushButton>(dialog, name), Qt::LeftButton); }
    std::string outcome() { return in<QLabel>(dialog, "makeBundle.outcome").text().toStdString(); }
};

}  // namespace

TEST(BundleDialogs, MakesABundleThatIsVerified) {
    Making making("sieve");
    in<QPlainTextEdit>(making.dialog, "makeBundle.licence").setPlainText(QStringLiteral("CC0 1.0"));
    making.press("makeBundle.make");
    ASSERT_TRUE(comes([&] { return making.written.count() == 1; })) << making.outcome();
    EXPECT_TRUE(fs::exists(making.folder.path() / "bundle.zip"));
    const std::string report = reportOn(making.out).toStdString();
    EXPECT_THAT(report, testing::HasSubstr("the same findings"));
    EXPECT_THAT(report, testing::HasSubstr("all identical"));
}

TEST(BundleDialogs, AsksWhereColumnsNamePeople) {
    Making making("surname");
    for (const char* answer : {"cancel", "makeBundle.anyway"}) {
        making.press("makeBundle.make");
        ASSERT_TRUE(comes([&] {
            return making.dialog.findChild<QMessageBox*>(QStringLiteral("makeBundle.personal")) != nullptr;
        }));
        auto& box = in<QMessageBox>(making.dialog, "makeBundle.personal");
        if (std::string{answer} == "cancel") {
            QTest::mouseClick(box.button(QMessageBox::Cancel), Qt::LeftButton);
            EXPECT_TRUE(comes([&] { return in<QPushButton>(making.dialog, "makeBundle.make").isEnabled(); }));
            EXPECT_FALSE(fs::exists(making.folder.path() / "bundle.zip"));
            EXPECT_TRUE(comes([&] {
                return making.dialog.findChild<QMessageBox*>(QStringLiteral("makeBundle.personal")) ==
                       nullptr;
            }));
        } else {
            making.press(answer);
            EXPECT_TRUE(comes([&] { return making.written.count() == 1; })) << making.outcome();
        }
    }
}

TEST(BundleDialogs, StopMakesNothing) {
    Making making("sieve");
    making.press("makeBundle.make");
    making.press("makeBundle.stop");
    EXPECT_THAT(making.outcome(), testing::HasSubstr("Stopped"));
    EXPECT_TRUE(in<QPushButton>(making.dialog, "makeBundle.make").isEnabled());
    EXPECT_FALSE(fs::exists(making.folder.path() / "bundle.zip"));
}

TEST(BundleDialogs, SaysWhatIsWrong) {
    Making making("sieve");
    in<QLineEdit>(making.dialog, "makeBundle.date").setText(QStringLiteral("soon"));
    making.press("makeBundle.make");
    EXPECT_THAT(making.outcome(), testing::HasSubstr("soon"));
    in<QLineEdit>(making.dialog, "makeBundle.date").setText(QStringLiteral("2026-11-25"));
    in<QLineEdit>(making.dialog, "makeBundle.path").setText(QString());
    making.press("makeBundle.make");
    EXPECT_THAT(making.outcome(), testing::HasSubstr("where"));
    in<QLineEdit>(making.dialog, "makeBundle.path")
        .setText(QString::fromStdString(making.folder.path().string()));
    making.press("makeBundle.make");
    EXPECT_TRUE(comes([&] { return in<QPushButton>(making.dialog, "makeBundle.make").isEnabled(); }));
    EXPECT_THAT(making.outcome(), testing::HasSubstr("there already"));
    EXPECT_THAT(reportOn(QStringLiteral("/nowhere")).toStdString(),
                testing::HasSubstr("could not be checked"));
}

}  // namespace aftercurve::test
