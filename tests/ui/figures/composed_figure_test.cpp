// Figures of several panels, and their files: places, letters, sizes, resolution, fonts, same bytes.
#include "ui/figures/composed_figure.h"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include <QBuffer>
#include <QImageReader>
#include <QPainter>
#include <QProcess>
#include <QStandardPaths>
#include <QTemporaryDir>
#include <QtEndian>

#include "core/figure/figure_check.h"
#include "tests/support/figure_fixture.h"
#include "ui/export/figure_export.h"
#include "ui/figures/default_figures.h"
#include "ui/figures/plot_library.h"
#include "ui/figures/write_figures.h"

namespace aftercurve {
namespace {

using testing::ElementsAre;
using testing::IsEmpty;

FigureSpec fourPanels() {
    FigureSpec spec;
    spec.id = "four";
    spec.columns = 2;
    for (const char* kind : {"curves_mean", "comparison_paired", "index", "pie"}) {
        spec.panels.emplace_back().kind = kind;
    }
    spec.panels[0].frame.title = "Means";
    spec.panels[0].frame.key = KeyPlace{0.5, 0.05};
    spec.style.heightMm = 140.0;
    return spec;
}

QByteArray bytesOf(const FigureSpec& spec, FigureFormat format, int dpi = 300) {
    const auto input = fixture::smallInput();
    const auto bytes = renderFigure(spec, input.study, input.findings, {format, dpi});
    EXPECT_TRUE(bytes.ok()) << (bytes.ok() ? "" : bytes.problem().what);
    return bytes.ok() ? bytes.value() : QByteArray{};
}

TEST(ComposedFigure, PanelsFillTheGridRowByRow) {
    FigureSpec spec = fourPanels();
    spec.style.widthMm = 127.0;  // 5 inch: 360 pt
    spec.style.heightMm = 50.8;  // 2 inch: 144 pt
    EXPECT_EQ(panelRect(spec, 0, 10.0), QRectF(0, 0, 1800, 720));
    EXPECT_EQ(panelRect(spec, 3, 10.0), QRectF(1800, 720, 1800, 720));
    EXPECT_TRUE(panelRect(spec, 4, 10.0).isEmpty());
    spec.columns = 6;
    EXPECT_EQ(panelRect(spec, 3, 1.0), QRectF(270, 0, 90, 144)) << "no empty columns";
}

TEST(ComposedFigure, HasLettersAndSaysWhatIsNoFigure) {
    const QString svg = QString::fromUtf8(bytesOf(fourPanels(), FigureFormat::svg));
    for (const char* text : {">A<", ">D<", "Means", "pie"}) {
        EXPECT_TRUE(svg.contains(QLatin1String(text))) << text;
    }
    FigureSpec small = fourPanels();
    small.letters = PanelLetters::small;
    EXPECT_TRUE(QString::fromUtf8(bytesOf(small, FigureFormat::svg)).contains(QLatin1String(">b<")));
    small.letters = PanelLetters::none;
    EXPECT_FALSE(QString::fromUtf8(bytesOf(small, FigureFormat::svg)).contains(QLatin1String(">b<")));
}

TEST(ComposedFigure, GivesTheSameBytesEachTime) {
    for (const FigureFormat format :
         {FigureFormat::svg, FigureFormat::pdf, FigureFormat::png, FigureFormat::tiff}) {
        const QByteArray first = bytesOf(fourPanels(), format, 96);
        EXPECT_FALSE(first.isEmpty());
        EXPECT_EQ(first, bytesOf(fourPanels(), format, 96));
    }
}

TEST(ComposedFigure, OnePanelIsTheFigureOfItsKind) {
    const auto input = fixture::smallInput();
    FigureSpec spec;
    spec.id = "one";
    spec.panels.emplace_back().kind = "curves_mean";
    const auto alone = renderFigure(figureKind("curves_mean"), input.study, input.findings, {}, spec.style,
                                    {FigureFormat::png, 96});
    ASSERT_TRUE(alone.ok());
    EXPECT_EQ(bytesOf(spec, FigureFormat::png, 96), alone.value());
}

TEST(ComposedFigure, PngHasItsResolution) {
    QByteArray png = bytesOf(fourPanels(), FigureFormat::png, 600);
    const QImage image = QImage::fromData(png);
    EXPECT_EQ(image.width(), 4134);  // 175 mm at 600 dpi
    EXPECT_NEAR(image.dotsPerMeterX() * 0.0254, 600.0, 0.02);
}

/// A value of the first directory of a little-endian TIFF.
std::uint32_t tiffEntry(const QByteArray& tiff, std::uint16_t tag) {
    const auto at16 = [&](qsizetype at) { return qFromLittleEndian<std::uint16_t>(tiff.constData() + at); };
    const auto at32 = [&](qsizetype at) { return qFromLittleEndian<std::uint32_t>(tiff.constData() + at); };
    const qsizetype directory = at32(4);
    for (int i = 0; i < at16(directory); ++i) {
        const qsizetype entry = directory + 2 + 12 * i;
        if (at16(entry) == tag) {
            return at16(entry + 2) == 3 ? at16(entry + 8) : at32(entry + 8);
        }
    }
    ADD_FAILURE() << "no tag " << tag;
    return 0;
}

TEST(ComposedFigure, TiffHasItsSizeResolutionAndCompression) {
    // Tags of TIFF 6.0: 256 width, 259 compression (5 LZW), 282 resolution across (a fraction), 296 its unit
    // (2 inch).
    const QByteArray tiff = bytesOf(fourPanels(), FigureFormat::tiff, 300);
    ASSERT_GT(tiff.size(), 1000);
    ASSERT_EQ(tiff.left(2), "II");
    EXPECT_EQ(tiffEntry(tiff, 256), 2067U);  // 175 mm at 300 dpi
    EXPECT_EQ(tiffEntry(tiff, 259), 5U);
    EXPECT_EQ(tiffEntry(tiff, 296), 2U);
    const auto fraction = static_cast<qsizetype>(tiffEntry(tiff, 282));
    const auto over = qFromLittleEndian<std::uint32_t>(tiff.constData() + fraction);
    const auto under = qFromLittleEndian<std::uint32_t>(tiff.constData() + fraction + 4);
    ASSERT_GT(under, 0U);
    EXPECT_EQ(over / under, 300U);
}

TEST(ComposedFigure, RefusesWhatCannotBeDrawn) {
    const auto input = fixture::smallInput();
    FigureSpec spec = fourPanels();
    for (const int dpi : {71, 1201}) {
        for (const FigureFormat format : {FigureFormat::png, FigureFormat::tiff}) {
            EXPECT_FALSE(renderFigure(spec, input.study, input.findings, {format, dpi}).ok());
        }
    }
    EXPECT_TRUE(renderFigure(spec, input.study, input.findings, {FigureFormat::svg, 1}).ok());
    spec.columns = 0;
    EXPECT_FALSE(renderFigure(spec, input.study, input.findings, {}).ok());
}

TEST(ComposedFigure, PdfEmbedsEveryFont) {
    const QString program = QStandardPaths::findExecutable(QStringLiteral("pdffonts"));
    if (program.isEmpty()) {
        GTEST_SKIP() << "pdffonts (poppler-utils) is not installed";
    }
    const QTemporaryDir folder;
    const QString path = folder.filePath(QStringLiteral("f.pdf"));
    QFile file(path);
    ASSERT_TRUE(file.open(QIODevice::WriteOnly));
    file.write(bytesOf(fourPanels(), FigureFormat::pdf));
    file.close();
    QProcess run;
    run.start(program, {path});
    ASSERT_TRUE(run.waitForFinished());
    const QStringList lines = QString::fromUtf8(run.readAllStandardOutput()).split(u'\n', Qt::SkipEmptyParts);
    ASSERT_GT(lines.size(), 2) << "two lines of heading, then one a font";
    const qsizetype column = lines[0].indexOf(QStringLiteral("emb"));
    ASSERT_GT(column, 0);
    for (qsizetype i = 2; i < lines.size(); ++i) {
        EXPECT_EQ(lines[i].mid(column, 3), QStringLiteral("yes")) << lines[i].toStdString();
    }
}

TEST(ComposedFigure, IsDrawnOnAWhiteGround) {
    const auto input = fixture::smallInput();
    QImage image(500, 400, QImage::Format_RGB32);
    image.fill(Qt::green);
    QCPPainter painter(&image);
    paintFigure(painter, fourPanels(), input.study, input.findings, 1.0);
    painter.end();
    EXPECT_EQ(image.pixel(2, 2), qRgb(255, 255, 255));
    int dark = 0;
    for (int y = 0; y < image.height(); ++y) {
        for (int x = 0; x < image.width(); ++x) {
            dark += qGray(image.pixel(x, y)) < 90 ? 1 : 0;
        }
    }
    EXPECT_GT(dark, 500);
}

TEST(DefaultFigures, CanAllBeDrawnAndKeepTheirNames) {
    const auto input = fixture::analysedTrial();
    const std::vector<FigureSpec> figures = defaultFigures(input.study, input.findings);
    EXPECT_THAT(validate(figures), IsEmpty());
    std::vector<std::string> ids;
    for (const FigureSpec& figure : figures) {
        ids.push_back(figure.id);
    }
    EXPECT_THAT(ids, testing::IsSupersetOf({"curves_mean_glucose", "comparison_paired_insulin_barley",
                                            "agreement_glucose_pea", "portions"}));
    EXPECT_EQ(titleOf(figures.front(), input.study), "Curves of each subject: Glucose");
}

TEST(DefaultFigures, AStudyWithItsOwnIsDrawnWithThose) {
    auto input = fixture::smallInput();
    input.study.figures = {fourPanels()};
    input.study.figures[0].title = "All in one";
    std::vector<std::string> names;
    const FigureFormat formats[] = {FigureFormat::svg, FigureFormat::tiff};
    const auto written = drawFigures(input.study, input.findings, formats,
                                     [&](const std::string& name, const std::string& bytes) {
                                         EXPECT_FALSE(bytes.empty());
                                         names.push_back(name);
                                         return Result<Done>{Done{}};
                                     });
    ASSERT_TRUE(written.ok());
    EXPECT_THAT(names, ElementsAre("four.svg", "four.tiff"));
    EXPECT_EQ(written.value().front().title, "All in one");
}

}  // namespace
}  // namespace aftercurve
