// The window in which sensor readings are cut into curves, driven offscreen. Data are invented.
#include <QCheckBox>
#include <QComboBox>
#include <QDir>
#include <QFile>
#include <QLabel>
#include <QLineEdit>
#include <QListWidget>
#include <QPushButton>
#include <QSpinBox>
#include <QTableView>
#include <cmath>

#include "tests/ui/window/window_fixture.h"
#include "ui/figures/plot_library.h"
#include "ui/window/sensor/sensor_dialog.h"
#include "ui/window/word_controls.h"

namespace aftercurve::test {

namespace {

QByteArray clockOf(int minute) {
    return QByteArray("2026-03-02 ") + QByteArray::number(minute / 60).rightJustified(2, '0') + ':' +
           QByteArray::number(minute % 60).rightJustified(2, '0');
}

/// Two subjects from 06:00 to 16:00, a reading every 5 min at 5 mmol/L; one spike at 08:30.
QByteArray readingsText(const QByteArray& header = "glucose [mmol/L]") {
    QByteArray text = "subject,timestamp," + header + "\n";
    for (const char* subject : {"01", "02"}) {
        for (int minute = 360; minute <= 960; minute += 5) {
            text += QByteArray(subject) + ',' + clockOf(minute) + ',' + (minute == 510 ? "9" : "5") + '\n';
        }
    }
    return text;
}

QByteArray mealsText() {
    QByteArray text = "subject,timestamp,food\n";
    for (const char* subject : {"01", "02"}) {
        text += QByteArray(subject) + ',' + clockOf(480) + ",barley porridge\n";
        text += QByteArray(subject) + ',' + clockOf(720) + ",pea soup\n";
    }
    text += "02," + clockOf(1200) + ",pea soup\n";  // no readings there
    return text;
}

class CuttingSensor : public WindowTest {
  protected:
    QString write(const QString& name, const QByteArray& bytes) {
        const QString path = inTemp(name);
        QFile file(path);
        EXPECT_TRUE(file.open(QIODevice::WriteOnly));
        file.write(bytes);
        return path;
    }

    SensorDialog& open(const QByteArray& readings, const QByteArray& meals) {
        SensorAsks asks;
        asks.folder = [this](QWidget*, const QString&) { return folder_; };
        asks.file = [](QWidget*, bool) { return QString(); };
        dialog_ = new SensorDialog(asks, window_.get());
        dialog_->show();
        dialog_->openFiles(write(QStringLiteral("sensor.csv"), readings),
                           write(QStringLiteral("meals.csv"), meals));
        EXPECT_TRUE(waitUntil([&] { return !dialog_->session().isBusy(); }));
        return *dialog_;
    }

    /// Waits for the curves that the choices now ask for.
    void settle() {
        bool cut = false;
        const auto connection =
            QObject::connect(&dialog_->session(), &SensorSession::cut, [&] { cut = true; });
        EXPECT_TRUE(waitUntil([&] { return cut; }));
        QObject::disconnect(connection);
    }

    const SensorCurve& first() { return dialog_->session().outcome().curves->curves[0]; }

    SensorDialog* dialog_ = nullptr;
};

}  // namespace

TEST_F(CuttingSensor, ShowsEachMealAndItsProblems) {
    SensorDialog& dialog = open(readingsText(), mealsText());
    ASSERT_TRUE(dialog.session().outcome().curves);
    EXPECT_EQ(dialog.session().outcome().curves->used, 4U);
    EXPECT_EQ(find<QLabel>("sensor.state").text(),
              QStringLiteral("242 readings of 2 subjects; 4 of 5 meals give a curve."));
    EXPECT_EQ(find<QComboBox>("sensor.subject").count(), 2);
    auto& list = find<QListWidget>("sensor.list");
    EXPECT_EQ(list.count(), 2);
    auto& plot = find<QCustomPlot>("sensor.plot");
    auto* readings = plot.findChild<QCPGraph*>(QStringLiteral("readings"));
    auto* cut = plot.findChild<QCPGraph*>(QStringLiteral("cut"));
    ASSERT_TRUE(readings != nullptr && cut != nullptr);
    EXPECT_EQ(readings->dataCount(), 67);  // -90 to 240 min
    EXPECT_EQ(cut->dataCount(), 43);       // -30 to 180 min
    find<QComboBox>("sensor.subject").setCurrentIndex(1);
    EXPECT_EQ(list.count(), 3);
    EXPECT_TRUE(list.item(2)->text().contains(QStringLiteral("left out")));
    list.setCurrentRow(2);
    EXPECT_TRUE(find<QLabel>("sensor.words").text().contains(QStringLiteral("no reading around")));
    EXPECT_EQ(find<QTableView>("sensor.problems.view").model()->rowCount(), 1);
}

TEST_F(CuttingSensor, TheCurveIsBrokenAtAGap) {
    QByteArray text = readingsText();
    for (int minute = 500; minute < 530; minute += 5) {
        text.replace("01," + clockOf(minute) + ",5\n", "");
        text.replace("01," + clockOf(minute) + ",9\n", "");
    }
    open(text, mealsText());
    const auto lines = find<QCustomPlot>("sensor.plot").findChildren<QCPGraph*>(QStringLiteral("cut"));
    ASSERT_EQ(lines.size(), 2);
    EXPECT_EQ(lines[0]->dataCount() + lines[1]->dataCount(), 37);
    EXPECT_TRUE(find<QLabel>("sensor.words").text().contains(QStringLiteral("A gap of 35.0")));
}

TEST_F(CuttingSensor, ChoicesAreTakenUp) {
    open(readingsText(), mealsText());
    EXPECT_EQ(first().points[12].value, 9.0);  // 30 min after the meal
    find<QComboBox>("sensor.smooth").setCurrentIndex(1);
    EXPECT_FALSE(find<QPushButton>("sensor.go").isEnabled()) << "what is shown is not yet what is chosen";
    settle();
    EXPECT_EQ(first().points[12].value, 5.0) << "a single spike does not pass a median of 5";
    EXPECT_EQ(first().points[12].reading, 9.0);
    find<NumberBox>("sensor.after").setValue(60.0);
    find<NumberBox>("sensor.before").setValue(10.0);
    settle();
    EXPECT_EQ(first().points.size(), 15U);
    find<NumberBox>("sensor.after").setValue(300.0);
    find<QCheckBox>("sensor.leaveOutShortened").setChecked(true);
    settle();
    EXPECT_FALSE(first().isUsed());
    EXPECT_EQ(dialog_->session().outcome().curves->used, 2U) << "of the later meals the readings end early";
    find<QCheckBox>("sensor.leaveOutGaps").setChecked(true);
    settle();
    EXPECT_EQ(dialog_->session().outcome().curves->used, 0U);
    EXPECT_FALSE(find<QPushButton>("sensor.go").isEnabled());
}

TEST_F(CuttingSensor, AUnitThatIsNotSaidIsAskedFor) {
    open(readingsText("glucose"), mealsText());
    EXPECT_FALSE(dialog_->session().outcome().curves);
    EXPECT_TRUE(find<QLabel>("sensor.state").text().contains(QStringLiteral("in the way")));
    find<QComboBox>("sensor.unit").setCurrentIndex(1);
    settle();
    ASSERT_TRUE(dialog_->session().outcome().curves);
    EXPECT_EQ(dialog_->session().outcome().curves->unit, "mmol/L");
}

TEST_F(CuttingSensor, MakesAStudyOnlyWhereAsked) {
    open(readingsText(), mealsText());
    folder_ = inTemp(QStringLiteral("curves"));
    QString written;
    QObject::connect(dialog_, &SensorDialog::studyWritten, [&](const QString& folder) { written = folder; });
    EXPECT_FALSE(QFile::exists(folder_));
    QDir().mkpath(folder_);
    press("sensor.go");
    ASSERT_TRUE(waitUntil([&] { return !dialog_->session().isBusy(); }));
    EXPECT_TRUE(find<QLabel>("sensor.state").text().contains(QStringLiteral("there already")));
    EXPECT_TRUE(QDir(folder_).isEmpty());
    QDir().rmdir(folder_);
    auto& reference = find<QComboBox>("sensor.reference");
    reference.setCurrentIndex(reference.findText(QStringLiteral("pea soup")));
    press("sensor.go");
    ASSERT_TRUE(waitUntil([&] { return !written.isEmpty(); }));
    EXPECT_TRUE(QFile::exists(folder_ + QStringLiteral("/study.json")));
    EXPECT_TRUE(QFile::exists(folder_ + QStringLiteral("/samples.csv")));
}

TEST_F(CuttingSensor, TheMenuOpensItAndTheStudyIsOpened) {
    trigger("action.cutSensor");
    auto& dialog = find<SensorDialog>("sensorDialog");
    dialog.openFiles(write(QStringLiteral("sensor.csv"), readingsText()),
                     write(QStringLiteral("meals.csv"), mealsText()));
    ASSERT_TRUE(waitUntil([&] { return dialog.session().outcome().curves && !dialog.session().isBusy(); }));
    const QString folder = inTemp(QStringLiteral("curves"));
    SensorStudyOptions options;
    options.reference = "pea soup";
    dialog.session().write(folder, options);
    ASSERT_TRUE(
        waitUntil([&] { return window_->session().hasStudy() && window_->session().resultsAreCurrent(); }));
    EXPECT_EQ(window_->session().study()->foods.size(), 2U);
    EXPECT_EQ(window_->session().study()->draws.size(), 4U * 43U);
    EXPECT_EQ(QDir(window_->session().folder()), QDir(folder));
}

}  // namespace aftercurve::test
