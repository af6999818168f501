#pragma once

#include <span>
#include <string>

#include "core/publish/publication.h"

namespace aftercurve {

/// The tables as Markdown with pipe tables (GitHub Flavored Markdown 4.10): numbers flush right, characters
/// that Markdown or HTML would take for their own escaped, notes as a list below each table.
std::string markdownTables(std::span<const Table> tables, const Publication& publication);

}  // namespace aftercurve
