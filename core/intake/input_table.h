#pragma once

#include <cstddef>
#include <functional>
#include <span>
#include <string>
#include <vector>

#include "core/intake/source.h"

namespace aftercurve {

/// Told the share done, answers false to stop; may be empty.
using ShareDone = std::function<bool(double)>;

/// One table that is to be taken in, wherever its rows come from: a delimited text, a sheet of a workbook, or
/// cells in memory.
struct InputTable {
    std::size_t source = 1;  ///< order of its file among those given, from 1
    std::string file;        ///< file name without folder
    std::string sha256;      ///< of the file's bytes; empty where there is no file
    std::string sheet;       ///< empty for a text
    bool workbook = false;
    bool hidden = false;
    TextDialect dialect;  ///< as guessed
    /// Walks the rows as `visitRows` does.
    std::function<Result<Done>(const TextDialect&, const RowVisitor&, const ShareDone&)> visit;
};

/// Every table of the sources, in order, with the dialect that fits best.
std::vector<InputTable> inputTables(std::span<const Source> sources, const IntakeLimits& limits = {});

/// As messages name it: "lab.csv", "lab.xlsx [Glucose]".
std::string nameOf(const InputTable& table);

}  // namespace aftercurve
