#include "ui/report/report_pdf.h"

#include <QBuffer>
#include <QMarginsF>
#include <QPageSize>
#include <QPdfWriter>
#include <cmath>

#include "core/figure/figure_check.h"
#include "core/publish/clean_text.h"
#include "ui/export/stable_bytes.h"
#include "ui/figures/composed_figure.h"
#include "ui/figures/plot_library.h"
#include "ui/models/text.h"
#include "ui/report/report_letters.h"

namespace aftercurve {

namespace {

constexpr double unitsPerMm = 72.0 / 25.4 * unitsPerPoint;

/// Why a figure is not drawn; empty: it can be.
std::string faultOf(const FigureSpec& spec) {
    const std::vector<Problem> problems = validate(spec);
    return problems.empty() ? std::string{} : problems.front().what;
}

void paintRoom(QCPPainter& painter, const PlacedFigure& place, const ReportSource& source) {
    const FigureSpec& spec = source.figures.at(place.spec);
    painter.save();
    if (const std::string fault = faultOf(spec); !fault.empty()) {
        painter.setPen(colourFor(TextLook::note));
        painter.setFont(fontFor(TextLook::note));
        painter.drawRect(place.room);
        painter.drawText(place.room, Qt::AlignCenter | Qt::TextWordWrap,
                         QStringLiteral("Not drawn: ") + shown(cleanText(fault)));
    } else {
        painter.translate(place.room.topLeft());
        const double scale = place.room.width() / (spec.style.widthMm * unitsPerMm);
        painter.scale(scale, scale);
        paintFigure(painter, spec, source.study, source.findings, unitsPerPoint);
    }
    painter.restore();
}

void paintPage(QCPPainter& painter, const ReportPage& page, const ReportSource& source) {
    painter.setPen(Qt::NoPen);
    for (const QRectF& ground : page.grounds) {
        painter.fillRect(ground, QColor(0xfa, 0xf4, 0xea));
        painter.fillRect(QRectF(ground.topLeft(), QSizeF(3.0 * unitsPerPoint, ground.height())),
                         QColor(0xb5, 0x65, 0x1d));
    }
    painter.setPen(QPen(colourFor(TextLook::body), 0.6 * unitsPerPoint));
    for (const QLineF& rule : page.rules) {
        painter.drawLine(rule);
    }
    for (const PlacedText& text : page.texts) {
        painter.setFont(fontFor(text.look));
        painter.setPen(colourFor(text.look));
        painter.drawText(text.baseline, text.text);
    }
    for (const PlacedFigure& figure : page.figures) {
        paintRoom(painter, figure, source);
    }
}

QByteArray dateOf(const ReportDocument& document) {
    QString date = shown(document.date);
    return document.date.empty() ? QByteArray("D:20000101000000Z")
                                 : "D:" + date.remove(u'-').toLatin1() + "000000Z";
}

}  // namespace

Result<QByteArray> reportPdf(const ReportDocument& document, const std::vector<ReportPage>& pages,
                             const ReportSource& source, const Progress& progress) {
    QBuffer buffer;
    buffer.open(QIODevice::WriteOnly);
    QPdfWriter writer(&buffer);
    writer.setPdfVersion(QPagedPaintDevice::PdfVersion_1_6);
    writer.setResolution(static_cast<int>(72.0 * unitsPerPoint));
    writer.setPageSize(QPageSize(QPageSize::A4));
    writer.setPageMargins(QMarginsF(0.0, 0.0, 0.0, 0.0));
    writer.setTitle(shown(cleanText(document.title)));
    writer.setCreator(QStringLiteral("Aftercurve"));
    QCPPainter painter;
    painter.begin(&writer);
    painter.setRenderHint(QPainter::Antialiasing);
    painter.setMode(QCPPainter::pmVectorized);
    painter.setMode(QCPPainter::pmNoCaching);
    painter.setMode(QCPPainter::pmNonCosmetic);
    for (std::size_t p = 0; p < pages.size(); ++p) {
        if (progress && !progress(static_cast<double>(p) / static_cast<double>(pages.size()), "report")) {
            painter.end();
            Problem problem;
            problem.what = "cancelled";
            return problem;
        }
        if (p > 0) {
            writer.newPage();
        }
        paintPage(painter, pages[p], source);
    }
    painter.end();
    return withFixedDate(buffer.data(), dateOf(document));
}

}  // namespace aftercurve
