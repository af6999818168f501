#pragma once

#include <cstddef>
#include <span>
#include <string>
#include <vector>

#include "core/base/result.h"
#include "core/intake/input_table.h"
#include "core/intake/mapping.h"
#include "core/study/study.h"

namespace aftercurve {

/// The first rows of a table as they stand there.
struct TablePreview {
    std::vector<std::size_t> rows;                ///< row numbers
    std::vector<std::vector<std::string>> cells;  ///< each row as wide as the widest
    std::size_t columns = 0;
    bool more = false;  ///< rows follow
};

/// Fails as `visitRows` does. Columns past `columns` are left out.
Result<TablePreview> previewTable(const InputTable& table, const TextDialect& dialect, std::size_t rows = 50,
                                  std::size_t columns = 256);

/// The draws that the first `rows` data rows of each table give; the problems are those of these rows.
struct DrawsPreview {
    std::vector<std::string> headers;  ///< subject, food, visit, time, analytes with units, ...
    std::vector<std::vector<std::string>> rows;
    std::vector<Problem> problems;
};

DrawsPreview previewDraws(std::span<const InputTable> tables, const Mapping& mapping, std::size_t rows = 50);

/// A study's draws as such a list, `most` of them.
DrawsPreview drawList(const Study& study, std::size_t most);

}  // namespace aftercurve
