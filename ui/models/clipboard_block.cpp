#include "ui/models/clipboard_block.h"

namespace aftercurve {

namespace {

QString written(QString cell) {
    bool isNumber = false;
    cell.toDouble(&isNumber);
    if (!cell.isEmpty() && !isNumber && QStringLiteral("=+-@").contains(cell.front())) {
        cell.prepend(u'\'');
    }
    if (cell.contains(u'\t') || cell.contains(u'\n') || cell.contains(u'"')) {
        cell.replace(u'"', QStringLiteral("\"\""));
        return u'"' + cell + u'"';
    }
    return cell;
}

}  // namespace

std::vector<QStringList> blockFrom(const QString& text) {
    std::vector<QStringList> rows;
    if (text.isEmpty()) {
        return rows;
    }
    QStringList row;
    QString cell;
    qsizetype cells = 0;
    bool quoted = false;
    bool cellBegins = true;
    const auto endCell = [&] {
        row << cell;
        cell.clear();
        cellBegins = true;
        ++cells;
    };
    const auto endRow = [&] {
        endCell();
        rows.push_back(row);
        row.clear();
    };
    for (qsizetype i = 0; i < text.size() && cells <= largestBlock; ++i) {
        const QChar c = text[i];
        if (quoted) {
            if (c != u'"') {
                cell += c;
            } else if (i + 1 < text.size() && text[i + 1] == u'"') {
                cell += c;
                ++i;
            } else {
                quoted = false;
            }
        } else if (c == u'"' && cellBegins) {
            quoted = true;
            cellBegins = false;
        } else if (c == u'\t') {
            endCell();
        } else if (c == u'\n' || c == u'\r') {
            if (c == u'\r' && i + 1 < text.size() && text[i + 1] == u'\n') {
                ++i;
            }
            endRow();
        } else {
            cell += c;
            cellBegins = false;
        }
    }
    if (!cell.isEmpty() || !row.isEmpty()) {
        endRow();
    }
    return cells > largestBlock ? std::vector<QStringList>{} : rows;
}

QString textOfBlock(const std::vector<QStringList>& rows) {
    QString text;
    for (const QStringList& row : rows) {
        for (qsizetype i = 0; i < row.size(); ++i) {
            text += (i == 0 ? QString() : QStringLiteral("\t")) + written(row[i]);
        }
        text += u'\n';
    }
    return text;
}

}  // namespace aftercurve
