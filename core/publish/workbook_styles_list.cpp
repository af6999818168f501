#include "core/publish/workbook_styles_list.h"

#include <algorithm>

#include "core/base/html_text.h"

namespace aftercurve {

namespace {

constexpr std::size_t firstOwnFormat = 164;  ///< ids below are built in

std::string fontOf(const SheetStyle& style) {
    return style.bold ? "1" : (style.muted ? "2" : "0");
}

}  // namespace

std::size_t SheetStyles::indexOf(const SheetStyle& style) {
    const auto found = std::find(styles_.begin(), styles_.end(), style);
    if (found != styles_.end()) {
        return static_cast<std::size_t>(found - styles_.begin());
    }
    styles_.push_back(style);
    return styles_.size() - 1;
}

std::string SheetStyles::part() const {
    std::vector<std::string> formats;
    std::string cells;
    for (const SheetStyle& style : styles_) {
        std::size_t format = 0;
        if (!style.format.empty()) {
            auto found = std::find(formats.begin(), formats.end(), style.format);
            if (found == formats.end()) {
                found = formats.insert(formats.end(), style.format);
            }
            format = firstOwnFormat + static_cast<std::size_t>(found - formats.begin());
        }
        cells += "<xf numFmtId=\"" + std::to_string(format) + "\" fontId=\"" + fontOf(style) +
                 "\" fillId=\"0\" borderId=\"" + (style.bold ? "1" : "0") + "\" xfId=\"0\"";
        cells += format == 0 ? "" : " applyNumberFormat=\"1\"";
        cells += style.keptAsText ? " quotePrefix=\"1\"" : "";
        cells += style.bold || style.muted ? " applyFont=\"1\"" : "";
        cells += style.bold ? " applyBorder=\"1\"" : "";
        cells +=
            style.wrapped ? " applyAlignment=\"1\"><alignment vertical=\"top\" wrapText=\"1\"/></xf>" : "/>";
    }
    std::string xml =
        "<?xml version=\"1.0\" encoding=\"UTF-8\" standalone=\"yes\"?>\n"
        "<styleSheet xmlns=\"http://schemas.openxmlformats.org/spreadsheetml/2006/main\">";
    if (!formats.empty()) {
        xml += "<numFmts count=\"" + std::to_string(formats.size()) + "\">";
        for (std::size_t i = 0; i < formats.size(); ++i) {
            xml += "<numFmt numFmtId=\"" + std::to_string(firstOwnFormat + i) + "\" formatCode=\"" +
                   htmlEscaped(formats[i]) + "\"/>";
        }
        xml += "</numFmts>";
    }
    constexpr const char* face = "<sz val=\"11\"/>";
    constexpr const char* name = "<name val=\"Calibri\"/><family val=\"2\"/></font>";
    xml += std::string{"<fonts count=\"3\"><font>"} + face + name + "<font><b/>" + face + name + "<font>" +
           face + "<color rgb=\"FF7F7F7F\"/>" + name + "</fonts>";
    xml +=
        "<fills count=\"2\"><fill><patternFill patternType=\"none\"/></fill>"
        "<fill><patternFill patternType=\"gray125\"/></fill></fills>"
        "<borders count=\"2\"><border><left/><right/><top/><bottom/><diagonal/></border>"
        "<border><left/><right/><top/><bottom style=\"thin\"/><diagonal/></border></borders>"
        "<cellStyleXfs count=\"1\"><xf numFmtId=\"0\" fontId=\"0\" fillId=\"0\" "
        "borderId=\"0\"/></cellStyleXfs>"
        "<cellXfs count=\"" +
        std::to_string(styles_.size()) + "\">" + cells +
        "</cellXfs><cellStyles count=\"1\"><cellStyle name=\"Normal\" xfId=\"0\" "
        "builtinId=\"0\"/></cellStyles>"
        "</styleSheet>";
    return xml;
}

}  // namespace aftercurve
