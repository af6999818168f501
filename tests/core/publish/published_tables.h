#pragma once

#include <string>

#include "core/findings/table.h"

namespace aftercurve::test {

inline Row rowOf(std::vector<Cell> cells, bool muted = false) {
    Row row;
    row.cells = std::move(cells);
    row.muted = muted;
    return row;
}

/// An invented table with an interval, a p-value, an absent number with its remark, and a column without any
/// value.
inline Table porridgeTable() {
    Table table;
    table.key = "porridge";
    table.title = "Comparisons with the glucose drink";
    table.emptyText = "Nothing is compared yet.";
    table.columns = {
        {"food", "Food", "", ColumnKind::text, 0, "", {}},
        {"n", "n", "", ColumnKind::integer, 0, "Subjects with both foods", {}},
        {"mean", "Mean difference", "mmol/L × min", ColumnKind::number, 1, "Σ difference / n", {}},
        {"ci_low", "95 % CI from", "", ColumnKind::number, 1, "", {"mean"}},
        {"ci_high", "95 % CI to", "", ColumnKind::number, 1, "", {"mean"}},
        {"p", "p", "", ColumnKind::pValue, 3, "Paired t, two-sided", {}},
        {"carry_over", "Carry-over", "", ColumnKind::number, 1, "", {}},
        {"remark", "Remark", "", ColumnKind::text, 0, "", {}}};
    table.rows = {
        rowOf({"Barley porridge", std::int64_t{12}, -34.25, -60.5, -8.0, 0.00004, {}, {}}),
        rowOf({"Pea & kelp wafer", std::int64_t{12}, -0.1234, -0.1301, -0.1167, 0.9996, {}, {}}),
        rowOf({"Kelp_crisp 50 %", std::int64_t{1}, 3.0, {}, {}, {}, {}, "fewer than 2 subjects"}, true)};
    table.notes = {"Differences are food minus drink."};
    return table;
}

/// Cells that try to be more than text in one format or the other.
inline Table hostileTable() {
    Table table;
    table.key = "hostile";
    table.title = "</title><script>alert(1)</script> \\input{/etc/hostname} | `x`";
    table.columns = {{"text", "Text | <b>&\"", "", ColumnKind::text, 0, "<i>why</i>", {}},
                     {"value", "Value", "g_2", ColumnKind::number, 2, "", {}}};
    for (const char* text : {"=cmd|' /C calc'!A0",
                             "+1+1",
                             "-2+3",
                             "@SUM(A1)",
                             "<script>alert(1)</script>",
                             "\\input{/etc/hostname}",
                             "a|b",
                             "two\nlines\r\nthree",
                             "left\u202Etfel",
                             "nul-like \x01\x1f",
                             "bad \xff\xc0 bytes",
                             "[x](y) *b* _c_",
                             "]]>--><!--",
                             "$x$ % # ~ ^ {}",
                             "[1] first",
                             "* star",
                             "\\\\ & \\end{tabular}",
                             "_x0041_",
                             "''quoted",
                             "# head",
                             "&amp;",
                             "--dash"}) {
        table.rows.push_back(rowOf({text, 1.5}));
    }
    table.notes = {"1. a list?", "<img src=x onerror=alert(1)>", "\\write18{rm}"};
    return table;
}

}  // namespace aftercurve::test
