#include "ui/export/figure_export.h"

#include <QBuffer>
#include <QMarginsF>
#include <QPageSize>
#include <QPdfWriter>
#include <QSvgGenerator>
#include <algorithm>
#include <cmath>
#include <functional>
#include <string>
#include <utility>

#include "core/figure/figure_check.h"
#include "ui/export/stable_bytes.h"
#include "ui/export/tiff_bytes.h"
#include "ui/figures/composed_figure.h"
#include "ui/figures/default_figures.h"
#include "ui/figures/figure_look.h"
#include "ui/figures/figure_text.h"

namespace aftercurve {

namespace {

// Every file is laid out on the same raster, a tenth of a point, so that all formats of a figure agree, and
// agree on every screen.
constexpr double unitsPerPoint = 10.0;
constexpr double unitsPerInch = 72.0 * unitsPerPoint;
constexpr double mmPerInch = 25.4;
constexpr double largestPixels = 400.0 / mmPerInch * 1200.0;

double unitsOf(double mm) {
    return mm / mmPerInch * unitsPerInch;
}

QSize layoutSize(const FigureStyle& style) {
    return {static_cast<int>(std::ceil(unitsOf(style.widthMm))),
            static_cast<int>(std::ceil(unitsOf(style.heightMm)))};
}

/// What is put on a page of the style's size: `paint` draws from (0, 0) on the raster above.
struct Sheet {
    const FigureStyle& style;
    QString title;
    std::function<void(QCPPainter&)> paint;
};

void paint(QPaintDevice& device, double scale, const Sheet& sheet) {
    QCPPainter painter;
    painter.begin(&device);
    painter.setRenderHint(QPainter::Antialiasing);
    painter.setMode(QCPPainter::pmVectorized);
    painter.setMode(QCPPainter::pmNoCaching);
    painter.setMode(QCPPainter::pmNonCosmetic);
    painter.scale(scale, scale);
    sheet.paint(painter);
    painter.end();
}

QString withStudy(const Study& study, const QString& figure) {
    const QString title = plainLabel(study.title);
    return title.isEmpty() ? figure : QStringLiteral("%1: %2").arg(title, figure);
}

QString titleOf(const FigureKind& kind, const Study& study) {
    const QString figure = FigureText::tr(std::string{kind.title}.c_str());
    return withStudy(study, figure);
}

Sheet sheetOf(const FigureKind& kind, const Study& study, const Findings& findings,
              const FigureChoice& choice, const FigureStyle& style) {
    const auto draw = [&](QCPPainter& painter) {
        const QSize size = layoutSize(style);
        QCustomPlot plot;
        plot.setProperty(pixelsPerPointProperty, unitsPerPoint);
        plot.resize(size);
        plot.setViewport(QRect(QPoint(), size));
        kind.draw(plot, study, findings, choice, style);
        painter.setFont(lookFor(plot, style).font);  // else the desktop's own font would get into the file
        plot.toPainter(&painter, size.width(), size.height());
    };
    return {style, titleOf(kind, study), draw};
}

Sheet sheetOf(const FigureSpec& spec, const Study& study, const Findings& findings) {
    const auto draw = [&](QCPPainter& painter) {
        paintFigure(painter, spec, study, findings, unitsPerPoint);
    };
    return {spec.style, withStudy(study, QString::fromStdString(titleOf(spec, study))), draw};
}

Problem problemWith(std::string what, std::string remedy) {
    Problem problem;
    problem.what = std::move(what);
    problem.remedy = std::move(remedy);
    return problem;
}

void checkRange(std::vector<Problem>& problems, double value, const char* name, const char* unit, double low,
                double high) {
    if (value >= low && value <= high) {
        return;
    }
    const auto text = [](double number) { return QString::number(number, 'g', 6).toStdString(); };
    problems.push_back(problemWith(std::string(name) + " " + text(value) + unit,
                                   "choose " + text(low) + " to " + text(high) + unit));
}

QImage imageOf(const Sheet& sheet, double dpi) {
    const auto pixels = [&](double mm) {
        return static_cast<int>(std::lround(std::clamp(mm / mmPerInch * dpi, 1.0, largestPixels)));
    };
    QImage image(pixels(sheet.style.widthMm), pixels(sheet.style.heightMm), QImage::Format_RGB32);
    if (image.isNull()) {
        return image;
    }
    image.fill(Qt::white);
    paint(image, dpi / unitsPerInch, sheet);
    const int dotsPerMetre = static_cast<int>(std::lround(dpi / mmPerInch * 1000.0));
    image.setDotsPerMeterX(dotsPerMetre);
    image.setDotsPerMeterY(dotsPerMetre);
    return image;
}

Problem tooLarge() {
    return problemWith("the image is too large for the memory at hand", "choose fewer dpi or a smaller size");
}

Result<QByteArray> bytesOf(const Sheet& sheet, const FigureExportOptions& options) {
    const FigureStyle& style = sheet.style;
    QBuffer buffer;
    buffer.open(QIODevice::WriteOnly);
    switch (options.format) {
        case FigureFormat::svg: {
            QSvgGenerator generator;
            generator.setOutputDevice(&buffer);
            generator.setResolution(static_cast<int>(unitsPerInch));
            generator.setSize(layoutSize(style));
            generator.setViewBox(QRectF(0.0, 0.0, unitsOf(style.widthMm), unitsOf(style.heightMm)));
            generator.setDescription(
                FigureText::tr("For research use only; not for diagnosis, treatment or dosing."));
            paint(generator, 1.0, sheet);
            return withSvgHead(buffer.data(), style.widthMm, style.heightMm, sheet.title);
        }
        case FigureFormat::pdf: {
            QPdfWriter writer(&buffer);
            writer.setPdfVersion(QPagedPaintDevice::PdfVersion_1_6);
            writer.setResolution(static_cast<int>(unitsPerInch));
            // Qt keeps whole points; the exact size is set in the bytes.
            const QSizeF page(std::ceil(style.widthMm / mmPerInch * 72.0),
                              std::ceil(style.heightMm / mmPerInch * 72.0));
            writer.setPageSize(QPageSize(page, QPageSize::Point, QString(), QPageSize::ExactMatch));
            writer.setPageMargins(QMarginsF(0.0, 0.0, 0.0, 0.0));
            writer.setTitle(sheet.title);
            writer.setCreator(QStringLiteral("Aftercurve"));
            paint(writer, 1.0, sheet);
            return withFixedDateAndSize(buffer.data(), style.widthMm, style.heightMm);
        }
        case FigureFormat::png: {
            const QImage image = imageOf(sheet, options.dpi);
            if (image.isNull() || !image.save(&buffer, "PNG")) {
                return tooLarge();
            }
            return buffer.data();
        }
        case FigureFormat::tiff: {
            const QByteArray bytes = tiffBytes(imageOf(sheet, options.dpi), options.dpi);
            if (bytes.isEmpty()) {
                return tooLarge();
            }
            return bytes;
        }
    }
    return problemWith("unknown figure format", "choose svg, pdf, png or tiff");
}

}  // namespace

std::vector<Problem> validate(const FigureStyle& style, const FigureExportOptions& options) {
    std::vector<Problem> problems;
    checkRange(problems, style.widthMm, "width", " mm", smallestFigureMm, largestFigureMm);
    checkRange(problems, style.heightMm, "height", " mm", smallestFigureMm, largestFigureMm);
    checkRange(problems, style.fontPt, "font size", " pt", smallestFontPt, largestFontPt);
    checkRange(problems, style.linePt, "line width", " pt", thinnestLinePt, thickestLinePt);
    if (hasPixels(options.format)) {
        checkRange(problems, options.dpi, "resolution", " dpi", 72.0, 1200.0);
    }
    return problems;
}

bool hasPixels(FigureFormat format) {
    return format == FigureFormat::png || format == FigureFormat::tiff;
}

std::string_view endingOf(FigureFormat format) {
    switch (format) {
        case FigureFormat::svg:
            return ".svg";
        case FigureFormat::pdf:
            return ".pdf";
        case FigureFormat::png:
            return ".png";
        case FigureFormat::tiff:
            break;
    }
    return ".tiff";
}

QImage renderImage(const FigureKind& kind, const Study& study, const Findings& findings,
                   const FigureChoice& choice, const FigureStyle& style, int dpi) {
    return imageOf(sheetOf(kind, study, findings, choice, style), dpi);
}

QImage renderImage(const FigureSpec& spec, const Study& study, const Findings& findings, double dpi) {
    return imageOf(sheetOf(spec, study, findings), dpi);
}

Result<QByteArray> renderFigure(const FigureKind& kind, const Study& study, const Findings& findings,
                                const FigureChoice& choice, const FigureStyle& style,
                                const FigureExportOptions& options) {
    const std::vector<Problem> wrong = validate(style, options);
    if (!wrong.empty()) {
        return wrong.front();
    }
    return bytesOf(sheetOf(kind, study, findings, choice, style), options);
}

Result<QByteArray> renderFigure(const FigureSpec& spec, const Study& study, const Findings& findings,
                                const FigureExportOptions& options) {
    for (const auto& wrong : {validate(spec), validate(spec.style, options)}) {
        if (!wrong.empty()) {
            return wrong.front();
        }
    }
    return bytesOf(sheetOf(spec, study, findings), options);
}

}  // namespace aftercurve
