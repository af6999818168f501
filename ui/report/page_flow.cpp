#include "ui/report/page_flow.h"

#include <QTextLayout>
#include <QTextOption>
#include <algorithm>

namespace aftercurve {

void PageFlow::newPage() {
    pages_.emplace_back();
    y_ = topMargin;
}

void PageFlow::need(double height) {
    if (room() < height && y_ > topMargin) {
        newPage();
    }
}

void PageFlow::put(const QString& text, TextLook look, double x, double top) {
    if (!text.isEmpty()) {
        page().texts.push_back(
            {text, look, QPointF(x, top + letters_.ascent(look)), letters_.width(text, look)});
    }
}

void PageFlow::paragraph(const QString& text, TextLook look, double x) {
    const double height = letters_.lineHeight(look);
    const QStringList lines = letters_.wrapped(text, look, pageWidth - sideMargin - x);
    // No single line of a paragraph is left at the foot of a page.
    need(height * static_cast<double>(std::min<qsizetype>(2, lines.size())));
    for (const QString& line : lines) {
        need(height);
        put(line, look, x, y_);
        y_ += height;
    }
}

void PageFlow::paragraph(std::span<const TextRun> runs, double x) {
    if (runs.empty()) {
        return;
    }
    QString text;
    QList<QTextLayout::FormatRange> formats;
    for (const TextRun& run : runs) {
        QTextLayout::FormatRange range;
        range.start = static_cast<int>(text.size());
        range.length = static_cast<int>(run.text.size());
        range.format.setFont(letters_.font(run.look));
        formats << range;
        text += run.text;
    }
    QTextLayout layout(text, letters_.font(runs.front().look));
    layout.setFormats(formats);
    QTextOption option;
    option.setWrapMode(QTextOption::WrapAtWordBoundaryOrAnywhere);
    layout.setTextOption(option);
    const double height = letters_.lineHeight(runs.front().look);
    layout.beginLayout();
    bool first = true;
    for (QTextLine line = layout.createLine(); line.isValid(); line = layout.createLine()) {
        line.setLineWidth(pageWidth - sideMargin - x);
        need(first && line.textLength() < text.size() ? 2.0 * height : height);
        first = false;
        const int lineEnd = line.textStart() + line.textLength();
        for (std::size_t r = 0; r < runs.size(); ++r) {
            const QTextLayout::FormatRange& range = formats.at(static_cast<qsizetype>(r));
            const int begin = std::max(range.start, line.textStart());
            const int end = std::min(range.start + range.length, lineEnd);
            if (begin < end) {
                const double ascent = letters_.ascent(runs.front().look);
                const QString piece = text.mid(begin, end - begin);
                page().texts.push_back({piece, runs[r].look, QPointF(x + line.cursorToX(begin), y_ + ascent),
                                        letters_.width(piece.trimmed(), runs[r].look)});
            }
        }
        y_ += height;
    }
    layout.endLayout();
}

}  // namespace aftercurve
