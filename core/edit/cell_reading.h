#pragma once

#include <cstdint>
#include <optional>
#include <string>
#include <string_view>
#include <utility>

#include "core/base/result.h"
#include "core/edit/table_edits.h"

namespace aftercurve {

/// Longest id, name of a material, method or run, in bytes; the readers have the same bound.
inline constexpr std::size_t longestName = 100;

/// Puts what was read into `target`, or passes the problem on.
template <class Value, class Target>
Result<Done> keep(Result<Value> read, Target& target) {
    if (!read) {
        return read.problem();
    }
    target = std::move(read).value();
    return Done{};
}

/// A text of study.json, as it stands: any in one line.
Result<std::string> jsonTextFrom(std::string_view text, std::string_view column);

/// A text of a CSV file without the blanks around it, of at most so many bytes.
Result<std::string> fileTextFrom(std::string_view text, std::string_view column, std::size_t longest);

/// A name that a row must have, of at most longestName bytes.
Result<std::string> nameFrom(std::string_view text, std::string_view column);

/// An id of an entry of study.json: not empty, at most longestName bytes, no blanks at its ends (one that a
/// file had may come back with them). `thing`: "the food".
Result<std::string> entryIdFrom(std::string_view text, const std::string& thing, bool takesBack);

/// "yes" or "no", as the files write them; `absent` where the text is empty.
Result<bool> yesOrNoFrom(std::string_view text, std::string_view column, bool absent);
std::string yesOrNo(bool value);

/// A number from `least` to `most`; nothing where the text is empty or NA.
Result<std::optional<double>> amountFrom(std::string_view text, std::string_view column, double least,
                                         double most);

/// A whole number likewise.
Result<std::optional<int>> wholeFrom(std::string_view text, std::string_view column, int least, int most);

/// The id of a food or a subject that is in its table, or of none where the text is empty; any that stood
/// there where a change is taken back.
Result<std::string> foodIdFrom(const Study& study, std::string_view text, bool takesBack);
Result<std::string> subjectIdFrom(const Study& study, std::string_view text, bool takesBack);

/// A row into a list, or out of it.
template <class List, class Thing>
void putInto(List& list, std::size_t row, Thing thing) {
    list.insert(list.begin() + static_cast<std::ptrdiff_t>(row), std::move(thing));
}
template <class List>
void takeOut(List& list, std::size_t row) {
    list.erase(list.begin() + static_cast<std::ptrdiff_t>(row));
}

}  // namespace aftercurve
