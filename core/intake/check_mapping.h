#pragma once

#include <span>
#include <vector>

#include "core/base/problem.h"
#include "core/intake/input_table.h"
#include "core/intake/mapping.h"

namespace aftercurve {

/// Whether a mapping can be used on these tables; reads their headers only. Problem::column is the key in the
/// mapping that is concerned.
///  - error, and nothing can be taken in: a file or table without an entry, an entry without its file, no
///  table
///    of values, a header or a mapped column that is not there, a role that is missing for the layout or
///    given twice, an analyte, unit, food or role that is not declared, clock times without a start of the
///    meal, an open question;
///  - warning: a column that looks as if it identified people, used or not; no reference and no control food;
///  - note: columns and tables that are not used.
std::vector<Problem> checkMapping(const Mapping& mapping, std::span<const InputTable> tables);

}  // namespace aftercurve
