#include "core/intake/workbook_strings.h"

#include "core/files/read_file.h"
#include "core/intake/workbook_dom.h"

namespace aftercurve {

Result<SharedStrings> SharedStrings::read(const WorkbookArchive& archive, const std::string& part,
                                          std::string_view file, const XmlBounds& bounds) {
    Result<PartStream> opened = archive.stream(part);
    if (!opened) {
        return opened.problem();
    }
    PartStream stream = std::move(opened).value();
    XmlPieces pieces{stream, {2, {{"sst", "si"}}}, bounds, std::string{file}, "the list of shared texts"};
    SharedStrings strings;
    pugi::xml_document document;
    std::string scratch;
    for (auto piece = pieces.next(); !piece.empty(); piece = pieces.next()) {
        if (!parsePiece(document, piece)) {
            return damagedWorkbook(file, "the list of shared texts is not well-formed XML");
        }
        strings.text_ += richTextOf(document.first_child(), scratch);
        if (strings.text_.size() > largestTextBytes || strings.size() == largestCount) {
            return damagedWorkbook(file, "the cells of the workbook share more than the " +
                                             megabytes(largestTextBytes) + " in " +
                                             std::to_string(largestCount) + " texts that are read");
        }
        strings.ends_.push_back(static_cast<std::uint32_t>(strings.text_.size()));
    }
    if (pieces.problem()) {
        return *pieces.problem();
    }
    return strings;
}

}  // namespace aftercurve
