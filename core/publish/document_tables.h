#pragma once

#include <span>
#include <string>

#include "core/base/result.h"
#include "core/publish/publication.h"

namespace aftercurve {

inline constexpr std::size_t widestDocumentPortrait = 8;  ///< columns; wider ones turn the pages

/// The tables as an OpenDocument text (version 1.3) that a word processor opens: title, caution, each table
/// under its title with header rows that repeat on every page, notes below it, program and hash of the plan
/// at the end. The same arguments give the same bytes.
Result<std::string> documentTables(std::span<const Table> tables, const Publication& publication);

}  // namespace aftercurve
