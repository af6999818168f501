#pragma once

#include <string>
#include <string_view>

namespace aftercurve {

/// SHA-256 (FIPS 180-4) as 64 lower-case hex digits.
std::string sha256Hex(std::string_view bytes);

/// Each byte as two lower-case hex digits.
std::string hexOf(std::string_view bytes);

}  // namespace aftercurve
