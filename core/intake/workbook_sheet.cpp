#include <charconv>
#include <optional>
#include <utility>

#include "core/files/excerpt.h"
#include "core/files/problem_list.h"
#include "core/intake/cell_place.h"
#include "core/intake/workbook.h"
#include "core/intake/workbook_archive.h"
#include "core/intake/workbook_dom.h"
#include "core/intake/workbook_xml.h"

namespace aftercurve {

namespace {

constexpr std::size_t rowsPerReport = 10'000;

/// One visit of a sheet: its rows in order, those that only a merged region covers among them.
class SheetVisit {
  public:
    SheetVisit(const CellContext& context, const std::vector<MergedRegion>& regions, std::string_view file,
               std::string where, const IntakeLimits& limits, const RowVisitor& visitor)
        : reader_(context, limits.columns),
          filler_(regions, limits.columns),
          file_(file),
          where_(std::move(where)),
          limits_(limits),
          visitor_(visitor) {}

    /// What follows a row: the next one, the end of the visit, or the end with problem().
    enum class After { next, stop };

    After takeRow(std::span<char> piece);
    /// Rows behind the last that a merged region covers.
    After takeEnd() { return takeCovered(largestSheetRow + 1); }

    std::size_t lastRow() const { return lastRow_; }
    const std::optional<Problem>& problem() const { return problem_; }

  private:
    std::optional<std::size_t> numberOf(pugi::xml_node row) const;
    After takeCovered(std::size_t before);
    After show(std::size_t row);
    After fail(std::size_t row, const std::string& what) {
        problem_ = damagedWorkbook(file_, where_ + " " + what);
        problem_->row = row;
        return After::stop;
    }

    CellReader reader_;
    MergeFiller filler_;
    std::string_view file_;
    std::string where_;
    const IntakeLimits& limits_;
    const RowVisitor& visitor_;
    pugi::xml_document document_;
    std::vector<RawCell> cells_;
    std::size_t lastRow_ = 0;
    std::size_t shown_ = 0;
    std::optional<Problem> problem_;
};

/// Number of a row: its own, or one more than the last; nothing where it does not ascend.
std::optional<std::size_t> SheetVisit::numberOf(pugi::xml_node row) const {
    const std::string_view text = attributeNamed(row, "r").value();
    std::size_t number = lastRow_ + 1;
    if (!text.empty()) {
        const auto parsed = std::from_chars(text.data(), text.data() + text.size(), number);
        if (parsed.ec != std::errc{} || parsed.ptr != text.data() + text.size()) {
            return std::nullopt;
        }
    }
    return number > lastRow_ && number <= largestSheetRow ? std::optional{number} : std::nullopt;
}

SheetVisit::After SheetVisit::takeRow(std::span<char> piece) {
    if (!parsePiece(document_, piece)) {
        return fail(lastRow_ + 1, "is not well-formed XML");
    }
    const pugi::xml_node node = document_.first_child();
    const auto row = numberOf(node);
    if (!row) {
        return fail(lastRow_ + 1,
                    "has a row numbered " + quote(attributeNamed(node, "r").value()) + " out of place");
    }
    if (takeCovered(*row) == After::stop) {
        return After::stop;
    }
    lastRow_ = *row;
    if (!reader_.read(node, cells_)) {
        return fail(*row, reader_.fault());
    }
    return show(*row);
}

SheetVisit::After SheetVisit::takeCovered(std::size_t before) {
    for (std::size_t row = filler_.nextCovered(lastRow_); row != 0 && row < before;
         row = filler_.nextCovered(row)) {
        cells_.clear();
        if (show(row) == After::stop) {
            return After::stop;
        }
    }
    return After::next;
}

SheetVisit::After SheetVisit::show(std::size_t row) {
    filler_.fill(row, cells_);
    while (!cells_.empty() && cells_.back().kind == CellKind::empty) {
        cells_.pop_back();
    }
    if (cells_.empty()) {
        return After::next;
    }
    if (++shown_ > limits_.rows) {
        return fail(row, "has more than the " + std::to_string(limits_.rows) + " rows that are read");
    }
    return visitor_(row, cells_) == Visit::stop ? After::stop : After::next;
}

/// Null where it was stopped.
Result<MergeCache::Regions> regionsOf(const WorkbookArchive& archive, MergeCache& cache, std::size_t sheet,
                                      const std::string& part, std::string_view file,
                                      const std::string& where, const IntakeLimits& limits,
                                      const std::function<bool()>& goOn) {
    if (auto known = cache.find(sheet)) {
        return known;
    }
    auto read = readMerges(archive, part, file, where, xmlBounds(limits), goOn);
    if (!read) {
        return read.problem();
    }
    if (!read.value()) {
        return MergeCache::Regions{};
    }
    MergeCache::Regions regions = std::make_shared<const std::vector<MergedRegion>>(*std::move(read).value());
    cache.keep(sheet, regions);
    return regions;
}

}  // namespace

Result<Done> visitSheet(const Workbook& workbook, MergeCache& merges, std::string_view bytes,
                        std::string_view file, std::size_t sheet, const IntakeLimits& limits,
                        const RowVisitor& visitor, const std::function<bool(double)>& progress) {
    Result<WorkbookArchive> opened = WorkbookArchive::open(bytes, file, limits);
    if (!opened) {
        return opened.problem();
    }
    const WorkbookArchive archive = std::move(opened).value();
    const WorkbookSheet& wanted = workbook.sheets[sheet];
    const std::string where = "the sheet " + quote(wanted.table.name);
    const auto regions = regionsOf(archive, merges, sheet, wanted.part, file, where, limits,
                                   [&] { return !progress || progress(0.0); });
    if (!regions) {
        return regions.problem();
    }
    if (regions.value() == nullptr) {
        return Done{};
    }
    Result<PartStream> part = archive.stream(wanted.part);
    if (!part) {
        return part.problem();
    }
    PartStream stream = std::move(part).value();
    XmlPieces pieces{stream, {3, {{"sheetData", "row"}}}, xmlBounds(limits), std::string{file}, where};
    SheetVisit visit{workbook.context, *regions.value(), file, where, limits, visitor};
    const auto goOn = [&] { return !progress || progress(stream.share()); };
    pieces.askToGoOn(goOn);
    std::size_t taken = 0;
    for (auto piece = pieces.next(); !piece.empty(); piece = pieces.next()) {
        if (visit.takeRow(piece) == SheetVisit::After::stop) {
            return visit.problem() ? Result<Done>{*visit.problem()} : Result<Done>{Done{}};
        }
        if (++taken % rowsPerReport == 0 && !goOn()) {
            return Done{};
        }
    }
    if (pieces.stopped()) {
        return Done{};
    }
    if (pieces.problem()) {
        Problem problem = *pieces.problem();
        problem.row = visit.lastRow();
        return problem;
    }
    if (visit.takeEnd() == SheetVisit::After::stop && visit.problem()) {
        return *visit.problem();
    }
    return Done{};
}

}  // namespace aftercurve
