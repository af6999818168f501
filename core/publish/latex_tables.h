#pragma once

#include <span>
#include <string>
#include <string_view>

#include "core/publish/publication.h"

namespace aftercurve {

/// A LaTeX document that compiles by itself, one table after the other, each between two comment lines so
/// that it can be taken into a manuscript. Packages: array, booktabs, graphicx, longtable, lscape, and fontenc with T1.
/// A table of more than `longestLatexFloat` rows breaks over pages with its header repeated; one of more than
/// `widestLatexPortrait` columns is set across the page. Notes stand below the table.
std::string latexTables(std::span<const Table> tables, const Publication& publication);

inline constexpr std::size_t longestLatexFloat = 40;
inline constexpr std::size_t widestLatexPortrait = 8;

/// Text that LaTeX sets as it stands: its own characters escaped, signs and Greek letters as commands.
/// Other characters stay; `foreign` (may be null) is told whether one beyond Latin letters was among them,
/// which pdfLaTeX does not set.
std::string latexEscaped(std::string_view text, bool* foreign = nullptr);

}  // namespace aftercurve
