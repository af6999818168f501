#include "ui/export/clipboard.h"

#include <QClipboard>
#include <QMimeData>
#include <string>
#include <variant>

#include "core/base/number_text.h"
#include "core/publish/html_tables.h"
#include "ui/export/figure_export.h"

namespace aftercurve {

namespace {

std::string oneLine(std::string text) {
    for (char& c : text) {
        if (c == '\t' || c == '\n' || c == '\r') {
            c = ' ';
        }
    }
    if (!text.empty() && std::string_view{"=+-@"}.find(text.front()) != std::string_view::npos) {
        text.insert(text.begin(), '\'');
    }
    return text;
}

std::string fullText(const Cell& cell) {
    if (const auto* text = std::get_if<std::string>(&cell)) {
        return oneLine(*text);
    }
    if (const auto* count = std::get_if<std::int64_t>(&cell)) {
        return std::to_string(*count);
    }
    if (const auto* number = std::get_if<double>(&cell)) {
        return plainNumber(*number);
    }
    return {};
}

std::string headerText(const Column& column) {
    return column.unit.empty() ? column.title : column.title + " (" + column.unit + ")";
}

}  // namespace

QString tableAsText(const Table& table) {
    std::string text;
    for (std::size_t c = 0; c < table.columns.size(); ++c) {
        text += (c == 0 ? "" : "\t") + oneLine(headerText(table.columns[c]));
    }
    text += '\n';
    for (const Row& row : table.rows) {
        for (std::size_t c = 0; c < row.cells.size(); ++c) {
            text += (c == 0 ? "" : "\t") + fullText(row.cells[c]);
        }
        text += '\n';
    }
    return QString::fromStdString(text);
}

QString tableAsHtml(const Table& table) {
    // Without the encoding a word processor may take the bytes for another one and show "–" and "±" as noise;
    // the comments say what of it is to be pasted.
    return QStringLiteral("<html><head><meta charset=\"utf-8\"></head><body><!--StartFragment-->") +
           QString::fromStdString(htmlFragment(table)) + QStringLiteral("<!--EndFragment--></body></html>");
}

void copyTable(QClipboard& clipboard, const Table& table) {
    auto* data = new QMimeData;
    data->setText(tableAsText(table));
    data->setHtml(tableAsHtml(table));
    clipboard.setMimeData(data);
}

void copyFigure(QClipboard& clipboard, const FigureKind& kind, const Study& study, const Findings& findings,
                const FigureChoice& choice, const FigureStyle& style, int dpi) {
    auto* data = new QMimeData;
    data->setImageData(renderImage(kind, study, findings, choice, style, dpi));
    const auto svg = renderFigure(kind, study, findings, choice, style, {FigureFormat::svg, dpi});
    if (svg) {
        data->setData(QStringLiteral("image/svg+xml"), svg.value());
    }
    clipboard.setMimeData(data);
}

void copyFigure(QClipboard& clipboard, const FigureSpec& figure, const Study& study, const Findings& findings,
                int dpi) {
    auto* data = new QMimeData;
    data->setImageData(renderImage(figure, study, findings, dpi));
    if (const auto svg = renderFigure(figure, study, findings, {FigureFormat::svg, dpi})) {
        data->setData(QStringLiteral("image/svg+xml"), svg.value());
    }
    clipboard.setMimeData(data);
}

}  // namespace aftercurve
