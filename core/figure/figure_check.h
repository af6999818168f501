#pragma once

#include <span>
#include <vector>

#include "core/base/problem.h"
#include "core/figure/figure_spec.h"
#include "core/study/study.h"

namespace aftercurve {

// Bounds of a figure: what a page takes and an eye can read. Common practice, no source.
inline constexpr double smallestFigureMm = 20.0;
inline constexpr double largestFigureMm = 400.0;
inline constexpr double smallestFontPt = 4.0;
inline constexpr double largestFontPt = 24.0;
inline constexpr double thinnestLinePt = 0.1;
inline constexpr double thickestLinePt = 10.0;
inline constexpr int mostFigureColumns = 6;
inline constexpr std::size_t mostPanels = 24;
inline constexpr std::size_t mostFigures = 500;
inline constexpr std::size_t longestFigureText = 4000;  ///< bytes of a title or caption
inline constexpr std::size_t longestFigureId = 200;

/// What keeps a figure from being drawn: sizes, fonts, columns 1 to 6, panels 1 to 24, an id that no file can
/// have (letters a-z and A-Z, digits, hyphens and underscores can), an axis whose low end is not below its
/// high end, a key outside its panel, a colour that is not "#rrggbb", a mark or dash that is not known.
/// Empty: it can be drawn. `column` of a problem is the path of the key within the figure ("panels[0].y").
/// Kinds, foods and analytes are not looked at (figureRemarks): a figure may be made for many studies.
std::vector<Problem> validate(const FigureSpec& spec);

/// The same of each figure of a list, and that each id is there once (upper and lower case count as one: some
/// disks hold them so). Paths begin with "figures[0].".
std::vector<Problem> validate(std::span<const FigureSpec> specs);

/// Warnings about what this study does not have: kinds of figures that this program does not know, foods,
/// analytes and subjects that the study does not know, units that the analyte is not converted to. Such a
/// figure is kept; the panel says what is not there.
std::vector<Problem> figureRemarks(const Study& study, std::span<const FigureSpec> specs);

}  // namespace aftercurve
