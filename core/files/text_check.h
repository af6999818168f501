#pragma once

#include <cstddef>
#include <string_view>

#include "core/base/result.h"

namespace aftercurve {

/// The text of a file without its byte order mark, known to be UTF-8 and free of NUL bytes. Fails for an
/// empty file, UTF-16, NUL bytes and bytes that are not UTF-8, naming the row.
Result<std::string_view> checkedText(std::string_view bytes, std::string_view file);

/// Line (from 1) in which the byte at `offset` stands; LF, CRLF and CR each end a line.
std::size_t lineAt(std::string_view text, std::size_t offset);

}  // namespace aftercurve
