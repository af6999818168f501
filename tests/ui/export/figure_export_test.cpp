#include "ui/export/figure_export.h"

#include <gmock/gmock.h>

#include <QApplication>
#include <QClipboard>
#include <QFont>
#include <QMimeData>
#include <QRegularExpression>
#include <QXmlStreamReader>

#include "tests/support/figure_fixture.h"
#include "ui/export/clipboard.h"
#include "ui/export/stable_bytes.h"

namespace aftercurve {
namespace {

using testing::SizeIs;

QByteArray rendered(std::string_view key, FigureFormat format, const fixture::FigureInput& input,
                    const FigureStyle& style = {}, int dpi = 300) {
    const auto bytes = renderFigure(figureKind(key), input.study, input.findings, {}, style, {format, dpi});
    EXPECT_TRUE(bytes.ok()) << key;
    return bytes.ok() ? bytes.value() : QByteArray{};
}

struct SvgContent {
    bool wellFormed = false;
    QString width, height, viewBox, title, text;
};

SvgContent parsed(const QByteArray& svg) {
    SvgContent content;
    QXmlStreamReader reader(svg);
    while (!reader.atEnd()) {
        if (reader.readNext() != QXmlStreamReader::StartElement) {
            continue;
        }
        if (reader.name() == u"svg") {
            content.width = reader.attributes().value(QStringLiteral("width")).toString();
            content.height = reader.attributes().value(QStringLiteral("height")).toString();
            content.viewBox = reader.attributes().value(QStringLiteral("viewBox")).toString();
        } else if (reader.name() == u"title") {
            content.title = reader.readElementText();
        } else if (reader.name() == u"text") {
            content.text += reader.readElementText() + u'\n';
        }
    }
    content.wellFormed = !reader.hasError();
    return content;
}

TEST(FigureExport, SvgIsWellFormedInItsSizeForEveryFigure) {
    const auto input = fixture::smallInput();
    for (const FigureKind& kind : figureList()) {
        const SvgContent svg = parsed(rendered(kind.key, FigureFormat::svg, input));
        EXPECT_TRUE(svg.wellFormed) << kind.key;
        EXPECT_EQ(svg.width, QStringLiteral("175mm")) << kind.key;
        EXPECT_EQ(svg.height, QStringLiteral("105mm")) << kind.key;
        EXPECT_FALSE(svg.title.isEmpty()) << kind.key;
        const QStringList box = svg.viewBox.split(u' ');
        ASSERT_THAT(box, SizeIs(4)) << kind.key;
        EXPECT_NEAR(box[2].toDouble() / box[3].toDouble(), 175.0 / 105.0, 1e-5) << kind.key;
    }
}

TEST(FigureExport, SvgKeepsTextWithUnitsAndARealMinus) {
    const auto input = fixture::smallInput();
    const QString mean = parsed(rendered("curves_mean", FigureFormat::svg, input)).text;
    EXPECT_TRUE(mean.contains(QStringLiteral("Time after first bite (min)"))) << mean.toStdString();
    EXPECT_TRUE(mean.contains(QStringLiteral("Glucose (mmol/L)")));
    EXPECT_TRUE(mean.contains(QStringLiteral("Barley bread")));
    const QString estimates = parsed(rendered("comparison_estimates", FigureFormat::svg, input)).text;
    EXPECT_TRUE(estimates.contains(QStringLiteral("−71.2 (−500.0 to 357.5)"))) << estimates.toStdString();
    EXPECT_TRUE(estimates.contains(QStringLiteral("mmol/L × min")));
}

TEST(FigureExport, SvgEscapesLabelsAndTitle) {
    auto input = fixture::smallInput();
    input.study.foods[1].label = "<b>&\"\x01 bread";
    input.study.title = "</title><script>&";
    for (const FigureKind& kind : figureList()) {
        const QByteArray bytes = rendered(kind.key, FigureFormat::svg, input);
        const SvgContent svg = parsed(bytes);
        EXPECT_TRUE(svg.wellFormed) << kind.key;
        EXPECT_TRUE(svg.title.startsWith(QStringLiteral("</title><script>&"))) << kind.key;
        EXPECT_FALSE(bytes.contains("<script")) << kind.key;
    }
    EXPECT_TRUE(parsed(rendered("curves_mean", FigureFormat::svg, input))
                    .text.contains(QStringLiteral("<b>&\" bread")));
}

TEST(FigureExport, PngHasItsPixelsAndItsPhysicalSize) {
    const auto input = fixture::smallInput();
    const QImage image = QImage::fromData(rendered("curves_mean", FigureFormat::png, input, {}, 300), "PNG");
    // 175 mm and 105 mm at 300 dots per 25.4 mm.
    EXPECT_EQ(image.width(), 2067);
    EXPECT_EQ(image.height(), 1240);
    EXPECT_EQ(image.dotsPerMeterX(), 11811);
    EXPECT_EQ(image.dotsPerMeterY(), 11811);
    EXPECT_EQ(image.pixelColor(0, 0), QColor(Qt::white));
    EXPECT_EQ(image.pixelColor(image.width() - 1, image.height() - 1), QColor(Qt::white));
}

TEST(FigureExport, PdfPageHasTheFigureSizeAndEmbedsItsFont) {
    const QByteArray pdf = rendered("curves_mean", FigureFormat::pdf, fixture::smallInput());
    const QRegularExpression box(QStringLiteral("/MediaBox \\[(\\S+) (\\S+) (\\S+) (\\S+)\\]"));
    const auto match = box.match(QString::fromLatin1(pdf));
    ASSERT_TRUE(match.hasMatch());
    EXPECT_NEAR(match.captured(3).toDouble() - match.captured(1).toDouble(), 175.0 / 25.4 * 72.0, 1e-3);
    EXPECT_NEAR(match.captured(4).toDouble() - match.captured(2).toDouble(), 105.0 / 25.4 * 72.0, 1e-3);
    EXPECT_TRUE(pdf.contains("/FontFile2"));
    EXPECT_TRUE(pdf.contains("DejaVuSans"));
    EXPECT_TRUE(pdf.contains("/CreationDate (D:20000101000000Z)"));
}

TEST(FigureExport, PdfCrossReferencesPointAtTheirObjects) {
    const QByteArray pdf = rendered("index", FigureFormat::pdf, fixture::smallInput());
    const auto start = pdf.lastIndexOf("startxref\n");
    ASSERT_GT(start, 0);
    const auto table = pdf.mid(start + 10, pdf.indexOf('\n', start + 10) - start - 10).toLongLong();
    ASSERT_EQ(pdf.mid(table, 7), "xref\n0 ");
    const auto countEnd = pdf.indexOf('\n', table + 7);
    const int count = pdf.mid(table + 7, countEnd - table - 7).toInt();
    ASSERT_GT(count, 5);
    for (int i = 1; i < count; ++i) {
        const QByteArray entry = pdf.mid(countEnd + 1 + 20 * i, 20);
        EXPECT_TRUE(pdf.mid(entry.left(10).toLongLong()).startsWith(QByteArray::number(i) + " 0 obj")) << i;
    }
}

TEST(FigureExport, GivesTheSameBytesAgain) {
    const auto input = fixture::smallInput();
    for (const FigureKind& kind : figureList()) {
        for (const FigureFormat format : {FigureFormat::svg, FigureFormat::pdf, FigureFormat::png}) {
            EXPECT_EQ(rendered(kind.key, format, input, {}, 100), rendered(kind.key, format, input, {}, 100))
                << kind.key;
        }
    }
}

TEST(FigureExport, GivesTheSameBytesUnderAnotherDesktopFont) {
    const auto input = fixture::smallInput();
    const QByteArray before = rendered("index", FigureFormat::svg, input);
    const QFont usual = QApplication::font();
    QApplication::setFont(QFont(QStringLiteral("DejaVu Serif"), 17));
    const QByteArray after = rendered("index", FigureFormat::svg, input);
    QApplication::setFont(usual);
    EXPECT_EQ(before, after);
}

TEST(StableBytes, ForgetTheDayAndTheTimeZoneOfAPdf) {
    const QByteArray summer =
        "1 0 obj\n/CreationDate (D:20310601120000+03'00')\nendobj\n2 0 obj\n/MediaBox [0 0 "
        "497.000000 298.000000]\nxref\n0 3\n0000000000 65535 f \n0000000000 00000 n \n"
        "0000000055 00000 n \ntrailer\nstartxref\n107\n%%EOF\n";
    const QByteArray winter =
        "1 0 obj\n/CreationDate (D:20301201120000Z)\nendobj\n2 0 obj\n/MediaBox [0 0 "
        "497.000000 298.000000]\nxref\n0 3\n0000000000 65535 f \n0000000000 00000 n \n"
        "0000000049 00000 n \ntrailer\nstartxref\n101\n%%EOF\n";
    EXPECT_EQ(withFixedDateAndSize(summer, 175.0, 105.0), withFixedDateAndSize(winter, 175.0, 105.0));
    EXPECT_EQ(withFixedDateAndSize("no pdf", 175.0, 105.0), QByteArray("no pdf"));
}

TEST(FigureExport, RefusesSizesThatCannotBeUsedAndNamesThem) {
    FigureStyle style;
    EXPECT_THAT(validate(style, {}), SizeIs(0));
    style.widthMm = 5.0;
    style.heightMm = 500.0;
    style.fontPt = 40.0;
    FigureExportOptions options{FigureFormat::png, 10000};
    const auto problems = validate(style, options);
    ASSERT_THAT(problems, SizeIs(4));
    EXPECT_EQ(problems[0].what, "width 5 mm");
    EXPECT_EQ(problems[0].remedy, "choose 20 to 400 mm");
    const auto input = fixture::smallInput();
    EXPECT_FALSE(renderFigure(figureKind("index"), input.study, input.findings, {}, style, options).ok());
}

TEST(FigureExport, DrawsTheSmallestAndTheLargestSize) {
    const auto input = fixture::smallInput();
    for (const double mm : {20.0, 400.0}) {
        FigureStyle style;
        style.widthMm = mm;
        style.heightMm = mm;
        for (const FigureKind& kind : figureList()) {
            EXPECT_TRUE(parsed(rendered(kind.key, FigureFormat::svg, input, style)).wellFormed)
                << kind.key << mm;
        }
    }
}

Table exampleTable() {
    Table table;
    table.columns = {{"food", "Food", "", ColumnKind::text, 0, ""},
                     {"mean", "Mean", "mmol/L", ColumnKind::number, 1, ""}};
    table.rows = {{"a", {Cell{std::string{"<b>&\t=1"}}, Cell{4.25}}, "", 0, false},
                  {"b", {Cell{std::string{"=SUM(A1)"}}, Cell{std::monostate{}}}, "", 0, false}};
    return table;
}

TEST(Clipboard, TakesATableAsTextAndHtml) {
    QClipboard& clipboard = *QApplication::clipboard();
    copyTable(clipboard, exampleTable());
    ASSERT_NE(clipboard.mimeData(), nullptr);
    EXPECT_EQ(clipboard.text(), QStringLiteral("Food\tMean (mmol/L)\n<b>& =1\t4.25\n'=SUM(A1)\t\n"));
    const QString html = clipboard.mimeData()->html();
    EXPECT_TRUE(html.contains(QStringLiteral("&lt;b&gt;&amp;"))) << html.toStdString();
    EXPECT_TRUE(html.contains(QStringLiteral(">Mean (mmol/L)</th>")));
    EXPECT_TRUE(html.contains(QStringLiteral("–")));
    EXPECT_TRUE(html.contains(QStringLiteral("scope=\"col\"")));
    // tests/reference/open_tables.py pastes what stands between these words.
    EXPECT_TRUE(html.startsWith(
        QStringLiteral("<html><head><meta charset=\"utf-8\"></head><body><!--StartFragment--><table")));
    EXPECT_TRUE(html.endsWith(QStringLiteral("<!--EndFragment--></body></html>")));
}

TEST(Clipboard, TakesAFigureAsImageAndSvg) {
    const auto input = fixture::smallInput();
    QClipboard& clipboard = *QApplication::clipboard();
    copyFigure(clipboard, figureKind("curves_mean"), input.study, input.findings, {}, {}, 100);
    ASSERT_NE(clipboard.mimeData(), nullptr);
    EXPECT_TRUE(clipboard.mimeData()->hasImage());
    EXPECT_TRUE(parsed(clipboard.mimeData()->data(QStringLiteral("image/svg+xml"))).wellFormed);
}

}  // namespace
}  // namespace aftercurve
