#pragma once

#include <string_view>

#include "core/intake/source.h"

namespace aftercurve {

/// True for comma, semicolon, tab and vertical bar.
bool isKnownDelimiter(char delimiter);

/// Dialect that fits a text best; the same bytes give the same answer. Encoding: encodingOf(). For the rest
/// the first rows (at most 1000, within 256 KiB) are cut by each delimiter. The even rows are those with as
/// many cells, at least two, as fill most cells in all; each pair of delimiter and decimal mark scores
///
///     even rows / rows · (even rows + cells of even rows that read as numbers with this mark)
///
/// A cell reads as a number with at most one decimal mark, with blanks, a sign or one of < and > before it,
/// or with an exponent. The highest score wins; of equals the one with more cells a row, then the one named
/// first in: comma, semicolon, tab, vertical bar, each with a point before a comma. Where no delimiter makes
/// two cells of a row, a comma with a point.
TextDialect guessTextDialect(std::string_view bytes, const IntakeLimits& limits);

}  // namespace aftercurve
