#pragma once

#include <optional>
#include <string>
#include <string_view>

#include "core/files/read_file.h"
#include "core/intake/workbook.h"

namespace aftercurve {

/// What a Source shares: the bytes, in whichever way they came, and what was read of a workbook.
struct SourceContent {
    FileBytes read;
    std::string given;
    std::string_view bytes;  ///< into one of the two
    std::optional<Workbook> workbook;
    mutable MergeCache merges;
};

}  // namespace aftercurve
