#pragma once

#include <span>
#include <string>
#include <string_view>

#include "core/base/result.h"
#include "core/publish/publication.h"

namespace aftercurve {

/// One kind of file that tables are written to.
struct TableFormat {
    std::string_view key;   ///< the word on the command line, and the ending of the file
    bool holdsMany = true;  ///< several tables go into one file; else `bytes` is given one
    Result<std::string> (*bytes)(std::span<const Table> tables, const Publication& publication);
};

/// csv, xlsx, tex, html, md, odt. A new format is one file and one line there; the window and the headless
/// program follow the list.
std::span<const TableFormat> tableFormatList();

/// The format with that key, or whose files end so (case does not matter); null where there is none.
const TableFormat* findTableFormat(std::string_view key);

/// "csv, xlsx, ...".
std::string tableFormatKeys();

}  // namespace aftercurve
