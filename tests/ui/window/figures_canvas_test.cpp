// The figure on its page: true size, its key under the pointer, and files that come of it.
#include <QAction>
#include <QCheckBox>
#include <QClipboard>
#include <QComboBox>
#include <QDir>
#include <QFile>
#include <QGuiApplication>
#include <QImage>
#include <QLabel>
#include <QLineEdit>
#include <QMimeData>
#include <QPushButton>
#include <QTest>
#include <QToolButton>
#include <cmath>

#include "tests/ui/window/window_fixture.h"
#include "ui/window/figures/export_figures_dialog.h"
#include "ui/window/figures/figure_canvas.h"
#include "ui/window/word_controls.h"

namespace aftercurve::test {

namespace {

class FigureOnItsPage : public WindowTest {
  protected:
    void SetUp() override {
        openSample(QStringLiteral("barley-index"));
        window_->setStep(Step::figures);
        find<QAction>("figures.kinds.curves_mean").trigger();
    }

    const std::vector<FigureSpec>& figures() { return window_->session().study()->figures; }
    const PanelFrame& frame() { return figures().front().panels.front().frame; }
    FigureCanvas& canvas() { return find<FigureCanvas>("figures.canvas"); }

    /// Moves the pointer with the button held.
    void drag(const QPointF& from, const std::vector<QPointF>& over) {
        QTest::mousePress(&canvas(), Qt::LeftButton, {}, from.toPoint());
        for (const QPointF& at : over) {
            QTest::mouseMove(&canvas(), at.toPoint());
        }
        QTest::mouseRelease(&canvas(), Qt::LeftButton, {}, over.back().toPoint());
    }
    static QPointF shareOf(const QRectF& rect, double x, double y) {
        return rect.topLeft() + QPointF(x * rect.width(), y * rect.height());
    }
    static QByteArray contents(const QString& path) {
        QFile file(path);
        return file.open(QIODevice::ReadOnly) ? file.readAll() : QByteArray();
    }
    void tick(const std::vector<const char*>& formats) {
        for (const char* format : {"svg", "pdf", "png", "tiff"}) {
            const bool on = std::find_if(formats.begin(), formats.end(), [&](const char* wanted) {
                                return QByteArray(wanted) == format;
                            }) != formats.end();
            find<QCheckBox>((QByteArray("exportFigures.") + format).constData()).setChecked(on);
        }
    }
};

}  // namespace

TEST_F(FigureOnItsPage, IsAsLargeAsItWillBePrinted) {
    ASSERT_TRUE(waitUntil([&] { return canvas().isDrawn(); }));
    find<QLineEdit>("figures.width").setFocus();
    QTest::keySequence(&find<QLineEdit>("figures.width"), QKeySequence::SelectAll);
    QTest::keyClicks(&find<QLineEdit>("figures.width"), QStringLiteral("85"));
    const double width = canvas().panelAt(0).width();
    // A panel that fills its figure is as wide as it, to the pixel: 85 mm.
    EXPECT_NEAR(width, 85.0 * canvas().pixelsPerMm(), 1.5);
    auto& zoom = find<QComboBox>("figures.zoom");
    zoom.setCurrentIndex(zoom.findData(2.0));
    EXPECT_NEAR(canvas().panelAt(0).width(), 2.0 * width, 1e-6);
    zoom.setCurrentIndex(zoom.findData(0.0));
    EXPECT_GT(canvas().zoom(), 0.0);
    EXPECT_TRUE(waitUntil([&] { return canvas().isDrawn(); }));
}

TEST_F(FigureOnItsPage, IsNotDrawnForEveryKey) {
    ASSERT_TRUE(waitUntil([&] { return canvas().isDrawn(); }));
    const int before = canvas().timesDrawn();
    auto& title = find<QLineEdit>("figures.title");
    title.setFocus();
    for (int i = 0; i < 40; ++i) {
        title.setText(QString(i + 1, u'x'));
        Q_EMIT title.textEdited(title.text());
    }
    EXPECT_EQ(canvas().timesDrawn(), before) << "no event ran, so nothing was drawn";
    ASSERT_TRUE(waitUntil([&] { return canvas().isDrawn(); }));
    EXPECT_EQ(canvas().timesDrawn(), before + 1);
}

TEST_F(FigureOnItsPage, TheKeyFollowsThePointerAndIsPutBack) {
    ASSERT_TRUE(waitUntil([&] { return canvas().isDrawn(); }));
    const QRectF panel = canvas().keyAreaAt(0);
    ASSERT_TRUE(canvas().panelAt(0).contains(panel));
    const int steps = window_->session().undoStack().count();
    drag(shareOf(panel, 0.2, 0.2), {shareOf(panel, 0.5, 0.5)});
    EXPECT_FALSE(frame().key) << "only while keys are placed";
    find<QToolButton>("figures.dragKey").click();
    drag(shareOf(panel, 0.2, 0.2),
         {shareOf(panel, 0.3, 0.3), shareOf(panel, 0.5, 0.4), shareOf(panel, 0.6, 0.25)});
    ASSERT_TRUE(frame().key);
    const double pixel = 1.0 / std::min(panel.width(), panel.height());
    EXPECT_NEAR(frame().key->x, 0.6, pixel);
    EXPECT_NEAR(frame().key->y, 0.25, pixel);
    EXPECT_EQ(window_->session().undoStack().count(), steps + 1) << "one drag is one step";
    // The key is taken where the pointer is: it moves by what the pointer moves.
    // Without the row of its key the panel is taller.
    ASSERT_TRUE(waitUntil([&] { return canvas().isDrawn(); }));
    const QRectF taller = canvas().keyAreaAt(0);
    drag(shareOf(taller, 0.7, 0.35), {shareOf(taller, 0.6, 0.55)});
    EXPECT_NEAR(frame().key->x, 0.5, 2.0 * pixel);
    EXPECT_NEAR(frame().key->y, 0.45, 2.0 * pixel);
    QTest::mouseDClick(&canvas(), Qt::LeftButton, {}, panel.center().toPoint());
    EXPECT_FALSE(frame().key);
    trigger("action.undo");
    EXPECT_TRUE(frame().key);
}

TEST_F(FigureOnItsPage, IsWrittenInEachFormat) {
    folder_ = inTemp(QStringLiteral("out"));
    QDir().mkpath(folder_);
    trigger("action.exportFigure");
    press("exportFigures.browse");
    tick({});
    EXPECT_FALSE(find<QPushButton>("exportFigures.write").isEnabled());
    tick({"svg", "pdf", "png", "tiff"});
    find<NumberBox>("exportFigures.dpi").setValue(20);
    EXPECT_FALSE(find<QPushButton>("exportFigures.write").isEnabled()) << "20 dpi are too few";
    find<NumberBox>("exportFigures.dpi").setValue(100);
    press("exportFigures.write");
    ASSERT_TRUE(
        waitUntil([&] { return window_->findChild<QWidget*>(QStringLiteral("exportFigures")) == nullptr; }));
    const QString stem = folder_ + u'/' + QString::fromStdString(figures().front().id);
    EXPECT_TRUE(contents(stem + QStringLiteral(".svg")).startsWith("<?xml"));
    EXPECT_TRUE(contents(stem + QStringLiteral(".pdf")).startsWith("%PDF-"));
    EXPECT_TRUE(contents(stem + QStringLiteral(".tiff")).startsWith("II*") ||
                contents(stem + QStringLiteral(".tiff")).startsWith("MM"));
    const QImage image(stem + QStringLiteral(".png"));
    EXPECT_EQ(image.width(), std::lround(figures().front().style.widthMm / 25.4 * 100.0));
}

TEST_F(FigureOnItsPage, AllFiguresAreWrittenAndOneIsCopied) {
    find<QAction>("figures.kinds.comparison_paired").trigger();
    folder_ = inTemp(QStringLiteral("all"));
    QDir().mkpath(folder_);
    find<QToolButton>("figures.exportAll").click();
    press("exportFigures.browse");
    tick({"svg"});
    EXPECT_TRUE(find<QLabel>("exportFigures.outcome").text().startsWith(QStringLiteral("2 files")));
    press("exportFigures.write");
    ASSERT_TRUE(
        waitUntil([&] { return window_->findChild<QWidget*>(QStringLiteral("exportFigures")) == nullptr; }));
    EXPECT_EQ(QDir(folder_).entryList({QStringLiteral("*.svg")}).size(), 2);
    trigger("action.copyFigure");
    const QMimeData* data = QGuiApplication::clipboard()->mimeData();
    EXPECT_TRUE(data->hasImage());
    EXPECT_TRUE(data->hasFormat(QStringLiteral("image/svg+xml")));
}

TEST_F(FigureOnItsPage, AFileOfFiguresServesAnotherStudy) {
    file_ = inTemp(QStringLiteral("figures.json"));
    press("figures.save");
    const std::vector<FigureSpec> made = figures();
    ASSERT_FALSE(contents(file_).isEmpty());
    press("figures.load");
    ASSERT_EQ(figures().size(), 2U);
    EXPECT_EQ(figures()[1].panels, made[0].panels);
    EXPECT_NE(figures()[1].id, made[0].id) << "each figure has a file name of its own";

    answer_ = SaveAnswer::discard;
    openSample(QStringLiteral("pulse-wafer-crossover"));
    window_->setStep(Step::figures);
    press("figures.load");
    EXPECT_EQ(figures(), made);

    QFile broken(file_);
    ASSERT_TRUE(broken.open(QIODevice::WriteOnly));
    broken.write("{\"format\": \"something else\"");
    broken.close();
    press("figures.load");
    EXPECT_EQ(figures(), made);
    EXPECT_TRUE(find<QLabel>("figures.problem").isVisible());
}

}  // namespace aftercurve::test
