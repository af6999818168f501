#include "core/intake/workbook_styles.h"

#include <map>

#include "core/intake/workbook_dom.h"

namespace aftercurve {

namespace {

constexpr std::size_t largestStyleCount = 65'536;

}  // namespace

Result<std::vector<NumberForm>> readStyles(const WorkbookArchive& archive, const std::string& part,
                                           std::string_view file, const XmlBounds& bounds) {
    Result<PartStream> opened = archive.stream(part);
    if (!opened) {
        return opened.problem();
    }
    PartStream stream = std::move(opened).value();
    const XmlWanted wanted{3, {{"numFmts", "numFmt"}, {"cellXfs", "xf"}}};
    XmlPieces pieces{stream, wanted, bounds, std::string{file}, "the list of styles"};
    std::map<unsigned, NumberForm> custom;
    std::vector<unsigned> formats;
    pugi::xml_document document;
    for (auto piece = pieces.next(); !piece.empty(); piece = pieces.next()) {
        if (!parsePiece(document, piece)) {
            return damagedWorkbook(file, "the list of styles is not well-formed XML");
        }
        const pugi::xml_node node = document.first_child();
        const unsigned id = attributeNamed(node, "numFmtId").as_uint();
        if (isNamed(node.name(), "xf")) {
            formats.push_back(id);
        } else {
            custom[id] = formOfCode(attributeNamed(node, "formatCode").value());
        }
        if (formats.size() > largestStyleCount || custom.size() > largestStyleCount) {
            return damagedWorkbook(file, "the workbook has more than the " +
                                             std::to_string(largestStyleCount) + " styles that are read");
        }
    }
    if (pieces.problem()) {
        return *pieces.problem();
    }
    std::vector<NumberForm> forms;
    forms.reserve(formats.size());
    for (const unsigned id : formats) {
        const auto found = custom.find(id);
        forms.push_back(found == custom.end() ? formOfBuiltIn(id) : found->second);
    }
    return forms;
}

}  // namespace aftercurve
