#include "ui/report/place_table.h"

#include <algorithm>
#include <numeric>

#include "ui/models/text.h"
#include "ui/report/column_widths.h"

namespace aftercurve {

namespace {

constexpr double gap = 3.5 * unitsPerPoint;  // on either side of a column
constexpr double rowGap = 1.2 * unitsPerPoint;
constexpr double longestLeastWord = 75.0 * unitsPerPoint;
constexpr double shortText = 42.0 * unitsPerPoint;  // a text up to this width is kept on one line
constexpr double longText = 84.0 * unitsPerPoint;   // a longer one than widestText has at least this width
constexpr double widestText = 190.0 * unitsPerPoint;
constexpr std::size_t mostLead = 3;
constexpr qsizetype mostHeadLines = 12;  // so that a page always has room for rows

/// The looks of a table in one size of letters.
struct TableLooks {
    TextLook head;
    TextLook cell;
    TextLook muted;
};
constexpr TableLooks larger{TextLook::tableHead, TextLook::tableCell, TextLook::tableMuted};
constexpr TableLooks smaller{TextLook::smallHead, TextLook::smallCell, TextLook::smallMuted};

/// Lines of the cells of one row, from a first line on.
struct SetRow {
    std::vector<QStringList> cells;
    std::vector<QString> marks;
    qsizetype lines = 1;
};

class TableSetter {
  public:
    TableSetter(PageFlow& flow, const ReportTable& table)
        : flow_(flow), shown_(table), table_(table.printed) {}

    void set();

  private:
    std::vector<ColumnNeed> needs(const TableLooks& looks);
    std::size_t lead() const;
    void setPart(const TablePart& part, std::size_t number, std::size_t parts);
    SetRow headOf(const TablePart& part);
    SetRow bodyRow(const TablePart& part, std::size_t r);
    double heightOf(const SetRow& row) const { return static_cast<double>(row.lines) * line_ + rowGap; }
    /// Places lines `from` to `to` of a row.
    void setLines(const TablePart& part, const SetRow& row, qsizetype from, qsizetype to, TextLook look,
                  bool atFoot);
    void setHead(const TablePart& part, const SetRow& head, const QString& name);
    void setNotes(std::size_t parts);
    QString nameOf(std::size_t part, std::size_t parts, bool continued) const;

    PageFlow& flow_;
    const ReportTable& shown_;
    const PrintedTable& table_;
    TableLooks looks_ = larger;
    double line_ = 0.0;
};

std::vector<ColumnNeed> TableSetter::needs(const TableLooks& looks) {
    Letters& letters = flow_.letters();
    std::vector<ColumnNeed> needs;
    for (std::size_t c = 0; c < table_.columns.size(); ++c) {
        const PrintedColumn& column = table_.columns[c];
        const QString head = shown(column.header);
        ColumnNeed need;
        need.least = std::min(letters.longestWord(head, looks.head), longestLeastWord);
        need.wanted = std::max(need.least, letters.width(head, looks.head) / (column.numeric ? 2.0 : 1.0));
        for (const PrintedRow& row : table_.rows) {
            const QString text = shown(row.cells[c].text);
            const double width = letters.width(text, looks.cell);
            if (column.numeric) {
                need.least = std::max(need.least, width);
            } else {
                if (width > need.least) {
                    const double word = std::min(letters.longestWord(text, looks.cell), longestLeastWord);
                    need.least = std::max(
                        {need.least, word, width > widestText ? longText : std::min(width, shortText)});
                }
                need.wanted = std::max(need.wanted, std::min(width, widestText));
            }
        }
        need.least += 2.0 * gap;
        need.wanted = std::max(need.least, need.wanted + 2.0 * gap);
        needs.push_back(need);
    }
    return needs;
}

/// The columns that name a row: the words before the first number.
std::size_t TableSetter::lead() const {
    std::size_t count = 0;
    while (count < table_.columns.size() && count < mostLead && !table_.columns[count].numeric) {
        ++count;
    }
    return std::max<std::size_t>(1, count);
}

QString TableSetter::nameOf(std::size_t part, std::size_t parts, bool continued) const {
    QString name = QStringLiteral("Table %1. %2").arg(shown_.number).arg(shown(table_.title));
    if (parts > 1) {
        name += QStringLiteral(" (part %1 of %2)").arg(part + 1).arg(parts);
    }
    return continued ? name + QStringLiteral(" (continued)") : name;
}

SetRow TableSetter::headOf(const TablePart& part) {
    SetRow row;
    for (std::size_t i = 0; i < part.columns.size(); ++i) {
        row.cells.push_back(flow_.letters().wrapped(shown(table_.columns[part.columns[i]].header),
                                                    looks_.head, part.widths[i] - 2.0 * gap));
        QStringList& lines = row.cells.back();
        if (lines.size() > mostHeadLines) {
            lines.resize(mostHeadLines);
            lines.back() += QChar(0x2026);
        }
        row.lines = std::max(row.lines, lines.size());
    }
    row.marks.resize(part.columns.size());
    return row;
}

SetRow TableSetter::bodyRow(const TablePart& part, std::size_t r) {
    SetRow row;
    for (std::size_t i = 0; i < part.columns.size(); ++i) {
        const PrintedCell& cell = table_.rows[r].cells[part.columns[i]];
        row.cells.push_back(
            flow_.letters().wrapped(shown(cell.text), looks_.cell, part.widths[i] - 2.0 * gap));
        row.marks.push_back(shown(cell.mark));
        row.lines = std::max(row.lines, row.cells.back().size());
    }
    return row;
}

void TableSetter::setLines(const TablePart& part, const SetRow& row, qsizetype from, qsizetype to,
                           TextLook look, bool atFoot) {
    Letters& letters = flow_.letters();
    double x = sideMargin;
    for (std::size_t i = 0; i < part.columns.size(); ++i) {
        const QStringList& lines = row.cells[i];
        const bool numeric = table_.columns[part.columns[i]].numeric;
        const qsizetype blank = atFoot ? row.lines - lines.size() : 0;
        for (qsizetype k = from; k < to; ++k) {
            const qsizetype at = k - blank;
            if (at < 0 || at >= lines.size()) {
                continue;
            }
            const QString& text = lines.at(at);
            const double width = letters.width(text, look);
            const double left = numeric ? x + part.widths[i] - gap - width : x + gap;
            const double top = flow_.y() + static_cast<double>(k - from) * line_;
            flow_.put(text, look, left, top);
            if (at + 1 == lines.size()) {
                flow_.put(row.marks[i], TextLook::mark, left + width + 3.0, top);
            }
        }
        if (lines.isEmpty() && from == 0) {
            flow_.put(row.marks[i], TextLook::mark, x + gap, flow_.y());
        }
        x += part.widths[i];
    }
    flow_.skip(static_cast<double>(to - from) * line_ + rowGap);
}

void TableSetter::setHead(const TablePart& part, const SetRow& head, const QString& name) {
    flow_.paragraph(name, TextLook::name);
    const double right = sideMargin + std::accumulate(part.widths.begin(), part.widths.end(), 0.0);
    flow_.skip(rowGap);
    flow_.rule(sideMargin, right, flow_.y());
    flow_.skip(rowGap);
    setLines(part, head, 0, head.lines, looks_.head, true);
    flow_.rule(sideMargin, right, flow_.y());
    flow_.skip(rowGap);
}

void TableSetter::setPart(const TablePart& part, std::size_t number, std::size_t parts) {
    SetRow head = headOf(part);
    const double right = sideMargin + std::accumulate(part.widths.begin(), part.widths.end(), 0.0);
    const double nameHeight = 2.0 * flow_.letters().lineHeight(TextLook::name);
    const double headHeight = nameHeight + heightOf(head) + 4.0 * rowGap;
    const double page = textBottom - topMargin;
    SetRow next = table_.rows.empty() ? SetRow{} : bodyRow(part, 0);
    flow_.need(std::min(page, headHeight + std::min(heightOf(next), page / 4.0) + 2.0 * line_));
    setHead(part, head, nameOf(number, parts, false));
    const auto turn = [&] {
        flow_.rule(sideMargin, right, flow_.y());
        flow_.newPage();
        setHead(part, head, nameOf(number, parts, true));
    };
    for (std::size_t r = 0; r < table_.rows.size(); ++r) {
        const SetRow row = r == 0 ? next : bodyRow(part, r);
        const TextLook look = table_.rows[r].muted ? looks_.muted : looks_.cell;
        if (heightOf(row) > flow_.room() && heightOf(row) <= page - headHeight) {
            turn();
        }
        for (qsizetype from = 0; from < row.lines;) {
            const auto fits = static_cast<qsizetype>((flow_.room() - rowGap) / line_);
            if (fits < 1) {
                turn();
                continue;
            }
            const qsizetype to = std::min(row.lines, from + fits);
            setLines(part, row, from, to, look, false);
            from = to;
        }
    }
    flow_.rule(sideMargin, right, flow_.y());
    flow_.skip(2.0 * rowGap);
}

void TableSetter::setNotes(std::size_t parts) {
    if (parts > 1) {
        flow_.paragraph(QStringLiteral("The table is wider than the page: it stands in %1 parts, each with "
                                       "the columns that name the row.")
                            .arg(parts),
                        TextLook::note);
    }
    if (!shown_.note.empty()) {
        flow_.paragraph(shown(shown_.note), TextLook::note);
    }
    for (const PrintedNote& note : table_.notes) {
        const QString mark = shown(note.mark);
        flow_.paragraph((mark.isEmpty() ? mark : mark + u' ') + shown(note.text), TextLook::note);
    }
}

void TableSetter::set() {
    const double largerHeight = flow_.letters().lineHeight(larger.cell);
    std::vector<ColumnNeed> asked = needs(larger);
    line_ = largerHeight;
    if (columnWidths(asked, textWidth).empty()) {
        looks_ = smaller;
        asked = needs(smaller);
        line_ = flow_.letters().lineHeight(smaller.cell);
    }
    const std::vector<TablePart> parts = tableParts(asked, lead(), textWidth);
    for (std::size_t p = 0; p < parts.size(); ++p) {
        setPart(parts[p], p, parts.size());
    }
    setNotes(parts.size());
    flow_.skip(10.0 * unitsPerPoint);
}

}  // namespace

void placeTable(PageFlow& flow, const ReportTable& table) {
    TableSetter(flow, table).set();
}

}  // namespace aftercurve
