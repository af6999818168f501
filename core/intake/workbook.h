#pragma once

#include <functional>
#include <map>
#include <memory>
#include <mutex>
#include <string>
#include <string_view>
#include <vector>

#include "core/intake/source.h"
#include "core/intake/workbook_cells.h"
#include "core/intake/workbook_merges.h"

namespace aftercurve {

/// A sheet of cells, and the part of the archive that holds it.
struct WorkbookSheet {
    SourceTable table;
    std::string part;
};

/// What is read of a workbook when it is opened; its sheets are read when they are visited.
struct Workbook {
    std::vector<WorkbookSheet> sheets;  ///< in the order of the workbook; charts are left out
    CellContext context;
};

/// Merged regions of the sheets visited so far, kept so that only the first visit looks for them.
class MergeCache {
  public:
    using Regions = std::shared_ptr<const std::vector<MergedRegion>>;

    Regions find(std::size_t sheet) const;
    void keep(std::size_t sheet, Regions regions);

  private:
    mutable std::mutex mutex_;
    std::map<std::size_t, Regions> regions_;
};

/// Bounds on the XML of parts under `limits`.
XmlBounds xmlBounds(const IntakeLimits& limits);

/// Opens an archive that may be a workbook of Office Open XML (ECMA-376 part 1, also in its strict form).
/// Fails for: a damaged archive, another kind of document in it (says how to save it anew), parts that are
/// missing or damaged, no sheet, more sheets than the bound.
Result<Workbook> openWorkbook(std::string_view bytes, std::string_view file, const IntakeLimits& limits);

/// visitRows for one sheet.
Result<Done> visitSheet(const Workbook& workbook, MergeCache& merges, std::string_view bytes,
                        std::string_view file, std::size_t sheet, const IntakeLimits& limits,
                        const RowVisitor& visitor, const std::function<bool(double)>& progress);

}  // namespace aftercurve
