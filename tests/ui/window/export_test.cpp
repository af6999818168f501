#include <QCheckBox>
#include <QClipboard>
#include <QComboBox>
#include <QFile>
#include <QGuiApplication>
#include <QImage>
#include <QLabel>
#include <QLineEdit>
#include <QMessageBox>
#include <QMimeData>
#include <QPushButton>
#include <QTest>

#include "tests/ui/window/window_fixture.h"
#include "ui/window/export_figure_dialog.h"
#include "ui/window/word_controls.h"

namespace aftercurve::test {

namespace {

QByteArray contents(const QString& path) {
    QFile file(path);
    return file.open(QIODevice::ReadOnly) ? file.readAll() : QByteArray();
}

class Exporting : public WindowTest {
  protected:
    void SetUp() override {
        openSample(QStringLiteral("barley-index"));
        window_->setStep(Step::curves);
    }

    ExportFigureDialog& dialog() {
        trigger("action.exportFigure");
        return find<ExportFigureDialog>("exportFigure");
    }

    void choose(const char* name, const QString& data) {
        auto& box = find<QComboBox>(name);
        box.setCurrentIndex(box.findData(data));
    }

    void write() {
        QTest::mouseClick(&find<QPushButton>("exportFigure.write"), Qt::LeftButton);
        EXPECT_TRUE(waitUntil(
            [&] { return window_->findChild<QWidget*>(QStringLiteral("exportFigure")) == nullptr; }));
    }
};

}  // namespace

TEST_F(Exporting, WritesAFigureInEachFormat) {
    const struct {
        const char* suffix;
        QByteArray begins;
    } cases[] = {{"svg", "<?xml"}, {"pdf", "%PDF-"}, {"png", "\x89PNG"}};
    for (const auto& format : cases) {
        dialog();
        choose("exportFigure.format", QLatin1String(format.suffix));
        const QString path = inTemp(QStringLiteral("curve.") + QLatin1String(format.suffix));
        find<QLineEdit>("exportFigure.path").setText(path);
        write();
        EXPECT_TRUE(contents(path).startsWith(format.begins)) << format.suffix;
    }
}

TEST_F(Exporting, SaysThePixelsOfAPngAndWritesThatMany) {
    dialog();
    choose("exportFigure.format", QStringLiteral("png"));
    find<QComboBox>("exportFigure.preset").setCurrentIndex(0);
    type(find<NumberBox>("exportFigure.height"), QStringLiteral("60"));
    find<NumberBox>("exportFigure.dpi").setValue(254);
    // 85 mm and 60 mm at 254 dpi are 10 pixels a millimetre.
    EXPECT_TRUE(find<QLabel>("exportFigure.outcome").text().contains(QStringLiteral("850 × 600")))
        << find<QLabel>("exportFigure.outcome").text().toStdString();
}

TEST_F(Exporting, RefusesASizeThatCannotBeUsed) {
    dialog();
    find<QComboBox>("exportFigure.preset").setCurrentIndex(3);
    find<NumberBox>("exportFigure.width").setValue(1);
    EXPECT_FALSE(find<QPushButton>("exportFigure.write").isEnabled());
    EXPECT_FALSE(find<QLabel>("exportFigure.outcome").text().isEmpty());
    find<NumberBox>("exportFigure.width").setValue(120);
    EXPECT_TRUE(find<QPushButton>("exportFigure.write").isEnabled());
}

TEST_F(Exporting, AFileThatCannotBeWrittenIsSaidAndTheDialogStays) {
    auto& shownDialog = dialog();
    find<QLineEdit>("exportFigure.path").setText(inTemp(QStringLiteral("no such folder/curve.svg")));
    QTest::mouseClick(&find<QPushButton>("exportFigure.write"), Qt::LeftButton);
    EXPECT_TRUE(shownDialog.isVisible());
    EXPECT_TRUE(find<QLabel>("exportFigure.outcome").text().startsWith(QStringLiteral("Not written")));
}

TEST_F(Exporting, RemembersFolderAndFormat) {
    dialog();
    choose("exportFigure.format", QStringLiteral("pdf"));
    find<QLineEdit>("exportFigure.path").setText(inTemp(QStringLiteral("first.pdf")));
    write();
    dialog();
    EXPECT_EQ(find<QComboBox>("exportFigure.format").currentData().toString(), QStringLiteral("pdf"));
    EXPECT_TRUE(find<QLineEdit>("exportFigure.path").text().startsWith(temp_.path()));
}

TEST_F(Exporting, WritesTheTableAsCsv) {
    window_->setStep(Step::measures);
    file_ = inTemp(QStringLiteral("measures.csv"));
    trigger("action.exportTable");
    const QByteArray csv = contents(file_);
    EXPECT_TRUE(csv.startsWith("subject,food,"));
    EXPECT_EQ(csv.count('\n'), 1 + static_cast<int>(window_->session().results()->findings.curves.size()));
}

TEST_F(Exporting, WritesTheTableInTheFormatThatItsEndingNames) {
    window_->setStep(Step::measures);
    const struct {
        const char* name;
        QByteArray begins;
    } cases[] = {{"table.xlsx", "PK"},
                 {"table.ODT", "PK"},
                 {"table.html", "<!DOCTYPE html>"},
                 {"table.tex", "\\documentclass"},
                 {"table.md", "# "},
                 {"table", "subject,food,"}};
    for (const auto& format : cases) {
        file_ = inTemp(QLatin1String(format.name));
        trigger("action.exportTable");
        EXPECT_TRUE(contents(file_).startsWith(format.begins)) << format.name;
    }
}

TEST_F(Exporting, RefusesAnEndingThatItDoesNotWrite) {
    window_->setStep(Step::measures);
    file_ = inTemp(QStringLiteral("table.doc"));
    trigger("action.exportTable");
    EXPECT_FALSE(QFile::exists(file_));
    const auto* box = window_->findChild<QMessageBox*>();
    ASSERT_NE(box, nullptr);
    EXPECT_TRUE(box->informativeText().contains(QStringLiteral("xlsx")))
        << box->informativeText().toStdString();
}

TEST_F(Exporting, CopiesTableFigureAndMethods) {
    window_->setStep(Step::measures);
    QClipboard& clipboard = *QGuiApplication::clipboard();
    trigger("action.copyTable");
    EXPECT_TRUE(clipboard.mimeData()->hasHtml());
    EXPECT_TRUE(clipboard.mimeData()->html().contains(QStringLiteral("<caption>")));
    EXPECT_TRUE(clipboard.text().startsWith(QStringLiteral("Subject\t")));
    trigger("action.copyFigure");
    EXPECT_TRUE(clipboard.mimeData()->hasImage());
    EXPECT_TRUE(clipboard.mimeData()->hasFormat(QStringLiteral("image/svg+xml")));
    trigger("action.copyMethods");
    EXPECT_FALSE(clipboard.text().isEmpty());
}

TEST_F(Exporting, OffersNoFigureWhereAPageHasNone) {
    window_->setStep(Step::samples);
    EXPECT_FALSE(find<QAction>("action.exportFigure").isEnabled());
    EXPECT_FALSE(find<QAction>("action.exportTable").isEnabled());
}

}  // namespace aftercurve::test
