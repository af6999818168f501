#pragma once

#include <QString>

#include "core/figure/figure_spec.h"
#include "core/findings/table.h"
#include "ui/figures/figure.h"

class QClipboard;
class QMimeData;

namespace aftercurve {

/// The table as tab-separated text: a header row of "title (unit)", numbers with full precision and a decimal
/// point, absent cells empty, so that a spreadsheet takes numbers as numbers. A text cell that a spreadsheet
/// would run as a formula gets a leading apostrophe, as in asCsv; tabs and line breaks in cells become
/// spaces.
QString tableAsText(const Table& table);

/// The same table as a word processor takes it: HTML with caption and notes, printed as in a manuscript (see
/// core/publish/html_tables.h), as a page that names its encoding and marks the fragment to paste.
QString tableAsHtml(const Table& table);

/// Puts the table there as text and as HTML.
void copyTable(QClipboard& clipboard, const Table& table);

/// Puts the figure there as an image of `dpi` and as SVG ("image/svg+xml").
void copyFigure(QClipboard& clipboard, const FigureKind& kind, const Study& study, const Findings& findings,
                const FigureChoice& choice, const FigureStyle& style, int dpi = 300);
/// The same for a figure of one or more panels; its spec must be valid (core/figure/figure_check.h).
void copyFigure(QClipboard& clipboard, const FigureSpec& figure, const Study& study, const Findings& findings,
                int dpi = 300);

}  // namespace aftercurve
