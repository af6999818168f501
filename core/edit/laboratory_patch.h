#pragma once

#include <string>
#include <string_view>

#include "core/base/result.h"
#include "core/edit/origins.h"

namespace aftercurve {

/// The file of a table whose rows know their lines (visits, assays, fibre), with the cells that differ
/// written anew. `bytes` are those that `was` was read from.
std::string patchedByLine(std::string_view bytes, const Study& was, const Study& now, StudyTable table);

/// The diary file likewise; the column of a renamed item gets the new name, that of an item which was removed
/// stays, and a new one is added at the end. Fails where a column that is not read so far would become an
/// item's.
Result<std::string> patchedDiary(std::string_view bytes, const Study& was, const Study& now,
                                 const Origins& origins);

}  // namespace aftercurve
