#include "core/intake/workbook_merges.h"

#include <algorithm>
#include <optional>

#include "core/intake/cell_place.h"
#include "core/intake/workbook_dom.h"

namespace aftercurve {

namespace {

std::optional<MergedRegion> regionOf(std::string_view reference) {
    const std::size_t colon = reference.find(':');
    const auto first = cellPlace(reference.substr(0, colon));
    const auto last = colon == std::string_view::npos ? first : cellPlace(reference.substr(colon + 1));
    if (!first || !last || last->row < first->row || last->column < first->column) {
        return std::nullopt;
    }
    return MergedRegion{first->row, last->row, first->column, last->column};
}

std::size_t cellCount(const MergedRegion& region) {
    return (region.lastRow - region.firstRow + 1) * (region.lastColumn - region.firstColumn + 1);
}

}  // namespace

Result<std::optional<std::vector<MergedRegion>>> readMerges(const WorkbookArchive& archive,
                                                            const std::string& part, std::string_view file,
                                                            const std::string& where, const XmlBounds& bounds,
                                                            const std::function<bool()>& goOn) {
    Result<PartStream> opened = archive.stream(part);
    if (!opened) {
        return opened.problem();
    }
    PartStream stream = std::move(opened).value();
    XmlPieces pieces{stream, {3, {{"mergeCells", "mergeCell"}}}, bounds, std::string{file}, where};
    pieces.askToGoOn(goOn);
    std::vector<MergedRegion> regions;
    std::size_t cells = 0;
    pugi::xml_document document;
    for (auto piece = pieces.next(); !piece.empty(); piece = pieces.next()) {
        const bool parsed = parsePiece(document, piece);
        const auto region =
            parsed ? regionOf(attributeNamed(document.first_child(), "ref").value()) : std::nullopt;
        if (!region) {
            return damagedWorkbook(file, where + " has a merged region that is none");
        }
        cells += cellCount(*region);
        if (cells > largestMergedCells) {
            Problem problem =
                damagedWorkbook(file, where + " has merged regions of more than the " +
                                          std::to_string(largestMergedCells) + " cells that are filled");
            problem.remedy = "unmerge the cells and save the workbook anew";
            return problem;
        }
        if (cellCount(*region) > 1) {
            regions.push_back(*region);
        }
    }
    if (pieces.problem()) {
        return *pieces.problem();
    }
    if (pieces.stopped()) {
        return std::optional<std::vector<MergedRegion>>{};
    }
    std::stable_sort(regions.begin(), regions.end(),
                     [](const auto& a, const auto& b) { return a.firstRow < b.firstRow; });
    return std::optional{std::move(regions)};
}

void MergeFiller::fill(std::size_t row, std::vector<RawCell>& cells) {
    std::erase_if(open_, [row](const Open& open) { return open.region.lastRow < row; });
    openRegions(row, cells);
    for (const Open& open : open_) {
        const std::size_t end = std::min(open.region.lastColumn + 1, columns_);
        if (cells.size() < end) {
            cells.resize(end);
        }
        RawCell value = open.value;
        value.text = open.text;
        for (std::size_t column = open.region.firstColumn; column < end; ++column) {
            cells[column] = value;
        }
    }
}

void MergeFiller::openRegions(std::size_t row, const std::vector<RawCell>& cells) {
    for (; next_ < regions_.size() && regions_[next_].firstRow <= row; ++next_) {
        const MergedRegion& region = regions_[next_];
        // Where the first row is not there, or its cell is empty, all of the region is empty; a cell hidden
        // under it has no say.
        RawCell value;
        if (region.firstRow == row && region.firstColumn < cells.size()) {
            value = cells[region.firstColumn];
        }
        if (region.lastRow >= row) {
            open_.push_back({region, value, std::string{value.text}});
        }
    }
}

std::size_t MergeFiller::nextCovered(std::size_t row) const {
    const bool covered = std::any_of(open_.begin(), open_.end(), [row](const Open& open) {
        return open.region.lastRow > row && open.value.kind != CellKind::empty;
    });
    return covered ? row + 1 : 0;
}

}  // namespace aftercurve
