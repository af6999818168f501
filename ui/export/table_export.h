#pragma once

#include <QString>

#include "core/base/result.h"
#include "core/findings/table.h"
#include "core/study/study.h"

namespace aftercurve {

/// What a dialog offers for a table, in one entry, since the ending that is typed decides: "Tables (*.csv
/// *.xlsx ...)".
QString tableFileFilter();

/// Writes the table to `path`, in the format that its ending names (tableFormatList()); a name without ending
/// gives CSV. Fails for any other ending, naming those that can be written, and where the file cannot be
/// written; the old file stands then.
Result<Done> writeTable(const Table& table, const Study& study, const QString& path);

}  // namespace aftercurve
