#pragma once

#include <cstddef>
#include <nlohmann/json.hpp>
#include <string_view>

#include "core/base/result.h"

namespace aftercurve {

/// Keeps the order of keys, so that a saved file reads like the one that was there.
using Json = nlohmann::ordered_json;

/// Parses JSON text (UTF-8, checked before). Refuses nesting past `maxDepth`, a key that appears twice in one
/// object, and objects of more than 1000 keys; the problem names the line, or the path of the key.
Result<Json> parseJson(std::string_view text, std::string_view file, int maxDepth);

/// 120 rather than 120.0, as people write it.
Json numberJson(double value);

}  // namespace aftercurve
