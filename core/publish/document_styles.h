#pragma once

#include <string_view>

namespace aftercurve {

/// Beginnings of the parts of an OpenDocument text: the namespaces that its elements use.
inline constexpr std::string_view documentNamespaces =
    "xmlns:office=\"urn:oasis:names:tc:opendocument:xmlns:office:1.0\" "
    "xmlns:style=\"urn:oasis:names:tc:opendocument:xmlns:style:1.0\" "
    "xmlns:text=\"urn:oasis:names:tc:opendocument:xmlns:text:1.0\" "
    "xmlns:table=\"urn:oasis:names:tc:opendocument:xmlns:table:1.0\" "
    "xmlns:fo=\"urn:oasis:names:tc:opendocument:xmlns:xsl-fo-compatible:1.0\" "
    "xmlns:meta=\"urn:oasis:names:tc:opendocument:xmlns:meta:1.0\" "
    "xmlns:dc=\"http://purl.org/dc/elements/1.1/\" office:version=\"1.3\"";

/// Styles of the document, inside <office:styles>: headings and texts.
inline constexpr std::string_view documentStyles =
    "<style:default-style style:family=\"paragraph\"><style:text-properties fo:font-size=\"10pt\" "
    "fo:language=\"en\" fo:country=\"GB\"/></style:default-style>"
    "<style:style style:name=\"Standard\" style:family=\"paragraph\" style:class=\"text\"/>"
    "<style:style style:name=\"Title\" style:family=\"paragraph\" style:parent-style-name=\"Standard\">"
    "<style:paragraph-properties fo:margin-bottom=\"4mm\"/>"
    "<style:text-properties fo:font-size=\"16pt\" fo:font-weight=\"bold\"/></style:style>"
    "<style:style style:name=\"Table_20_title\" style:display-name=\"Table title\" "
    "style:family=\"paragraph\" "
    "style:parent-style-name=\"Standard\" style:default-outline-level=\"2\">"
    "<style:paragraph-properties fo:margin-top=\"8mm\" fo:margin-bottom=\"2mm\" "
    "fo:keep-with-next=\"always\"/>"
    "<style:text-properties fo:font-weight=\"bold\"/></style:style>"
    "<style:style style:name=\"Table_20_words\" style:display-name=\"Table words\" "
    "style:family=\"paragraph\" "
    "style:parent-style-name=\"Standard\"><style:text-properties fo:font-size=\"8pt\"/></style:style>"
    "<style:style style:name=\"Table_20_numbers\" style:display-name=\"Table numbers\" "
    "style:family=\"paragraph\" style:parent-style-name=\"Table_20_words\">"
    "<style:paragraph-properties fo:text-align=\"end\"/></style:style>"
    "<style:style style:name=\"Table_20_note\" style:display-name=\"Table note\" style:family=\"paragraph\" "
    "style:parent-style-name=\"Table_20_words\"/>";

/// Styles of cells, inside <office:automatic-styles> of content.xml: lines above and below the header and
/// below the last row.
inline constexpr std::string_view documentCellStyles =
    "<style:style style:name=\"Raised\" style:family=\"text\">"
    "<style:text-properties style:text-position=\"super 58%\"/></style:style>"
    "<style:style style:name=\"Head\" style:family=\"table-cell\"><style:table-cell-properties "
    "fo:padding=\"0.6mm\" fo:border-left=\"none\" fo:border-right=\"none\" fo:border-top=\"0.8pt solid "
    "#000000\" fo:border-bottom=\"0.4pt solid #000000\"/></style:style>"
    "<style:style style:name=\"Body\" style:family=\"table-cell\"><style:table-cell-properties "
    "fo:padding=\"0.6mm\" fo:border=\"none\"/></style:style>"
    "<style:style style:name=\"Foot\" style:family=\"table-cell\"><style:table-cell-properties "
    "fo:padding=\"0.6mm\" fo:border-left=\"none\" fo:border-right=\"none\" fo:border-top=\"none\" "
    "fo:border-bottom=\"0.8pt solid #000000\"/></style:style>"
    "<style:style style:name=\"Grid\" style:family=\"table\"><style:table-properties "
    "table:align=\"margins\"/></style:style>"
    "<style:style style:name=\"Whole\" style:family=\"table-row\"><style:table-row-properties "
    "fo:keep-together=\"always\"/></style:style>";

}  // namespace aftercurve
