#pragma once

#include <vector>

#include "core/intake/source.h"
#include "core/intake/workbook_archive.h"
#include "core/intake/workbook_dates.h"
#include "core/intake/workbook_xml.h"

namespace aftercurve {

/// Form of the numbers of each cell style, by the index that cells give. Fails for a damaged part and for
/// more than 65 536 styles.
Result<std::vector<NumberForm>> readStyles(const WorkbookArchive& archive, const std::string& part,
                                           std::string_view file, const XmlBounds& bounds);

}  // namespace aftercurve
