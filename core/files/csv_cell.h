#pragma once

#include <string>
#include <string_view>

namespace aftercurve {

/// True for a text that a spreadsheet might take for a formula: it begins with = + - @ tab or CR.
bool spreadsheetWouldRun(std::string_view text);

/// The cell in double quotes where it holds a comma, a quote or a line end (RFC 4180).
std::string quotedCell(std::string_view text);

/// A text as a cell of a study's file: an apostrophe stands before one that a spreadsheet might run, and
/// before one that begins like a text so protected; in quotes where needed. textIn gives the same text back.
std::string textCell(std::string_view text);

/// What a text cell (blanks around it taken off) means: an apostrophe before = + - @ tab, CR or another
/// apostrophe is taken off; any other stays.
std::string_view textIn(std::string_view cell);

/// The same pair for a cell in a column of numbers, which no spreadsheet runs where it is a number ("-5"):
/// there an apostrophe counts only before what is no number, so that none ever makes a number of a text.
std::string numberColumnCell(std::string_view text);
std::string_view numberColumnText(std::string_view cell);

}  // namespace aftercurve
