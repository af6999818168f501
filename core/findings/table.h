#pragma once

#include <cstdint>
#include <span>
#include <string>
#include <string_view>
#include <variant>
#include <vector>

#include "core/findings/findings.h"
#include "core/study/study.h"

namespace aftercurve {

using Cell = std::variant<std::monostate, std::string, std::int64_t, double>;

enum class ColumnKind { text, integer, number, pValue };

struct Column {
    std::string key;    ///< snake_case; the CSV header
    std::string title;  ///< for people
    std::string unit;   ///< "" where it has none or where it differs by row
    ColumnKind kind = ColumnKind::text;
    int decimals = 2;         ///< shown; CSV and JSON keep full precision
    std::string explanation;  ///< formula or meaning, one sentence
    /// What the formula reads: keys of columns of the same row, or "pairs.difference" for that column of the
    /// rows of another table that are about the same analyte, measure and food.
    std::vector<std::string> inputs = {};
};

/// What a row is about, by id; empty where it is about no single one.
struct RowSubject {
    std::string analyte;
    std::string measure;
    std::string food;
    std::string subject;
};

struct Row {
    std::string key;  ///< stable identity of the row, for marking what changed
    std::vector<Cell> cells;
    std::string file;     ///< where it comes from, for going there; may be empty
    std::size_t row = 0;  ///< line in that file
    bool muted = false;   ///< excluded or not estimable: shown, but greyed
    RowSubject about = {};
};

/// A table of results, ready to show, to write and to copy.
struct Table {
    std::string key;  ///< file name stem
    std::string title;
    std::vector<Column> columns;
    std::vector<Row> rows;
    std::string emptyText;           ///< what to say where there are no rows
    std::vector<std::string> notes;  ///< footnotes
};

/// One kind of table.
struct TableKind {
    std::string_view key;
    Table (*build)(const Study& study, const Findings& findings);
};

/// The list: demographics, measures, summary, mean_curves, comparisons, pairs, model, index, exclusions, ...,
/// problems. A new table is one file and one line there; the headless program writes every
/// one, the window shows them by key.
std::span<const TableKind> tableList();

/// The table of that key; the key must be in the list.
Table buildTable(std::string_view key, const Study& study, const Findings& findings);

/// A cell as people read it: fixed decimals, p as "0.003" or "<0.001", "–" where absent.
std::string shownText(const Cell& cell, const Column& column);

/// RFC 4180 text with full precision, absent cells empty, "." as decimal mark, LF. A text cell that begins
/// with = + - @ tab or CR gets a leading apostrophe, so that no spreadsheet runs it; numbers stay numbers.
std::string asCsv(const Table& table);

/// Rows whose shown text differs between two states of one table: "row key" and column index.
struct CellChange {
    std::string rowKey;
    std::size_t column = 0;
    std::string before;

    bool operator==(const CellChange&) const = default;
};

/// What changed from `before` to `after`: cells of rows in both, matched by key; a row that is new counts in
/// each of its cells with an empty `before`.
std::vector<CellChange> changesBetween(const Table& before, const Table& after);

}  // namespace aftercurve
