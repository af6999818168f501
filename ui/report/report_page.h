#pragma once

#include <QLineF>
#include <QPointF>
#include <QRectF>
#include <QString>
#include <cstddef>
#include <vector>

namespace aftercurve {

/// What a text of the report is; its letters and colour follow from it (report_letters.h).
enum class TextLook {
    body,
    source,  ///< pointer to a table
    title,
    heading,
    name,  ///< of a table or figure
    note,
    tableHead,
    tableCell,
    tableMuted,
    smallHead,  ///< of tables that do not fit in the larger letters
    smallCell,
    smallMuted,
    mark,  ///< raised, at a cell
    code,
    error,
    warning,
    footer,
};

/// A4 upright. All lengths of a page are tenths of a point, from its left top.
inline constexpr double unitsPerPoint = 10.0;
inline constexpr double pageWidth = 210.0 / 25.4 * 72.0 * unitsPerPoint;
inline constexpr double pageHeight = 297.0 / 25.4 * 72.0 * unitsPerPoint;
inline constexpr double sideMargin = 48.0 * unitsPerPoint;
inline constexpr double topMargin = 48.0 * unitsPerPoint;
inline constexpr double bottomMargin = 60.0 * unitsPerPoint;  ///< the footer stands in it
inline constexpr double textWidth = pageWidth - 2.0 * sideMargin;
inline constexpr double textBottom = pageHeight - bottomMargin;

/// One line of letters of one look.
struct PlacedText {
    QString text;
    TextLook look = TextLook::body;
    QPointF baseline;  ///< left end
    double width = 0.0;
};

/// The room for a figure.
struct PlacedFigure {
    QRectF room;
    std::size_t spec = 0;  ///< position in the figures of the report
};

/// One page, ready to be painted.
struct ReportPage {
    std::vector<QRectF> grounds;  ///< behind the text: of the caution
    std::vector<QLineF> rules;
    std::vector<PlacedText> texts;
    std::vector<PlacedFigure> figures;
};

}  // namespace aftercurve
