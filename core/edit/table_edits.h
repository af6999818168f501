#pragma once

#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "core/edit/edit.h"

namespace aftercurve {

/// How one table of a study is shown and changed. Rows and columns handed in are valid; a function that fails
/// leaves the study as it was.
struct TableEdits {
    std::vector<TableColumn> (*columns)(const Study&);
    std::size_t (*rows)(const Study&);
    std::string (*text)(const Study&, std::size_t row, std::size_t column);
    Result<Done> (*set)(Study&, const SetCell&);
    Result<std::size_t> (*insert)(Study&, const InsertRow&);  ///< gives the place where the row stands
    Result<Done> (*remove)(Study&, const RemoveRow&);
    /// "subject 03, bread, visit 1, 30 min"
    std::string (*nameOfRow)(const Study&, std::size_t row);
    /// Its line in the table's file; null where the table has none, or its rows keep none.
    std::size_t (*lineOf)(const Study&, std::size_t row) = nullptr;
};

extern const TableEdits samplesEdits;
extern const TableEdits visitsEdits;
extern const TableEdits subjectsEdits;
extern const TableEdits foodsEdits;
extern const TableEdits analytesEdits;
extern const TableEdits assaySamplesEdits;
extern const TableEdits assaysEdits;
extern const TableEdits fibreEdits;
extern const TableEdits recipesEdits;
extern const TableEdits recipePartsEdits;
extern const TableEdits diaryItemsEdits;
extern const TableEdits diaryEdits;
extern const TableEdits eventsEdits;

const TableEdits& editsOf(StudyTable table);

/// Columns of the samples table that stand before the analytes.
inline constexpr std::size_t columnsBeforeAnalytes = 7;
/// Columns of the diary that stand before the items, and after them.
inline constexpr std::size_t columnsBeforeItems = 5;
inline constexpr std::size_t columnsAfterItems = 2;

/// As columnsOf, without making the list: a table on the screen asks for each cell.
std::size_t columnCountOf(const Study& study, StudyTable table);

/// Longest text of study.json, in bytes; the file itself has its own bound.
inline constexpr std::size_t longestJsonText = std::size_t{1} << 20;

/// A problem about a cell, with the column and what it may hold.
Problem cellProblem(std::string_view column, std::string what, std::string remedy);

/// Why a text cannot stand in any cell (not UTF-8, control characters, too long); empty where it can.
std::string faultOfText(std::string_view text, std::size_t longest);

/// Empty for NA and the like, the text without blanks around it for any other; fails by faultOfText.
Result<std::string> wordsFrom(std::string_view text, std::string_view column);

/// A whole number from 1; `absent` where the text is empty or NA.
Result<std::int32_t> countFrom(std::string_view text, std::string_view column, std::int32_t absent);

/// Index of the subject or food that the text names.
Result<std::uint32_t> subjectFrom(const Study& study, std::string_view text);
Result<std::uint32_t> foodFrom(const Study& study, std::string_view text);

std::string numberText(const std::optional<double>& value);
std::string countText(std::int32_t count, std::int32_t absent);

/// Subject, food, visit as people read them.
std::string nameOfVisit(const Study& study, std::uint32_t subject, std::uint32_t food, std::int32_t visit);

/// What kind of id is renamed.
enum class NamedThing { subject, food, analyte, assaySample, diaryItem };

/// Why no thing may take this id now: exclusions, acceptances, figures or the plan name it already.
std::optional<Problem> nameInUse(const Study& study, NamedThing thing, const std::string& id);

/// Renames it wherever exclusions, acceptances, figures, the plan and other tables name it.
void renameEverywhere(Study& study, NamedThing thing, const std::string& from, const std::string& to);

/// Draws (samples) and visits that refer to a subject or food; a table "samples" or "visits", or nothing.
std::optional<std::string> subjectUsedIn(const Study& study, std::size_t subject);
std::optional<std::string> foodUsedIn(const Study& study, std::size_t food);

/// The line that a row inserted at `position` may keep: `line` where it lies between those of its neighbours
/// in the same file, else 0. `lineAt(i)` gives the line of row i, 0 where it has none or is of another file.
template <class LineAt>
std::uint32_t fittingLine(std::uint32_t line, std::size_t position, std::size_t rows, LineAt lineAt) {
    if (line == 0) {
        return 0;
    }
    for (std::size_t i = position; i > 0; --i) {
        if (const std::uint32_t before = lineAt(i - 1); before != 0) {
            if (before >= line) {
                return 0;
            }
            break;
        }
    }
    for (std::size_t i = position; i < rows; ++i) {
        if (const std::uint32_t after = lineAt(i); after != 0) {
            return after > line ? line : 0;
        }
    }
    return line;
}

}  // namespace aftercurve
