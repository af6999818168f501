#pragma once

#include <span>

#include "core/intake/input_table.h"
#include "core/intake/mapping.h"

namespace aftercurve {

/// Begins a visit of each sheet that is used. The first visit of a sheet walks through all of it for its
/// merged cells, which takes long and can be stopped here; later ones know them. What is wrong with a sheet
/// is found again, and reported, by whoever visits it next. `progress` (may be empty) is told 0 every few MB;
/// false where it answered so.
bool readAhead(std::span<const InputTable> tables, const Mapping& mapping, const ShareDone& progress);

}  // namespace aftercurve
