#pragma once

#include <span>
#include <string>

#include "core/publish/publication.h"

namespace aftercurve {

/// The table as a piece of HTML that stands by itself (no script, no style sheet, no reference): caption,
/// header cells with scope, notes below. All text is escaped. For setting into a page, and for the clipboard.
std::string htmlFragment(const Table& table);

/// A whole page with these tables, the explanation of each column, and the caution.
std::string htmlTables(std::span<const Table> tables, const Publication& publication);

}  // namespace aftercurve
