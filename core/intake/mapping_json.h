#pragma once

#include <string>
#include <string_view>

#include "core/base/result.h"
#include "core/intake/mapping.h"

namespace aftercurve {

/// The mapping as JSON text (docs/formats.md, mapping file). Open questions stand as null.
std::string mappingText(const Mapping& mapping);

/// A mapping, or the reasons why the text is none.
struct MappingReading {
    std::optional<Mapping> mapping;
    std::vector<Problem> problems;
};

/// Reads mapping JSON of at most 4 MiB, nested at most 16 levels. Refused: another format or version, a key
/// that is not known, a wrong type, a word that is not listed, an unknown unit.
MappingReading readMapping(std::string_view bytes, std::string_view file);

}  // namespace aftercurve
