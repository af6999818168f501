#pragma once

#include <QString>
#include <QStringList>
#include <vector>

namespace aftercurve {

/// Most cells that are pasted at once.
inline constexpr qsizetype largestBlock = 1'000'000;

/// Cells of a block as spreadsheets put it on the clipboard: lines of cells with tabs between; a cell that
/// holds a tab, a line end or a quote stands in double quotes, a quote in it written twice. Empty where the
/// text is empty or has more than `largestBlock` cells.
std::vector<QStringList> blockFrom(const QString& text);

/// The reverse. Cells that a spreadsheet would take for a formula (= + - @ at the beginning, no number) get a
/// leading apostrophe.
QString textOfBlock(const std::vector<QStringList>& rows);

}  // namespace aftercurve
