#pragma once

#include "core/files/problem_list.h"
#include "core/intake/input_table.h"
#include "core/intake/mapping.h"

namespace aftercurve {

/// The part of checkMapping that concerns one table and the entry `mapping.tables[entry]` that holds for it.
void checkTable(const Mapping& mapping, std::size_t entry, const InputTable& table, ProblemList& problems);

}  // namespace aftercurve
