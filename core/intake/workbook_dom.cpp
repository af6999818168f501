#include "core/intake/workbook_dom.h"

#include <charconv>
#include <cstdint>
#include <cstring>
#include <utility>

namespace aftercurve {

namespace {

/// As UTF-8; for the characters of one UTF-16 unit that are no surrogate.
void appendUtf8(std::uint32_t code, std::string& out) {
    const auto put = [&out](std::uint32_t byte) {
        out += static_cast<char>(static_cast<unsigned char>(byte));
    };
    if (code < 0x80) {
        put(code);
    } else if (code < 0x800) {
        put(0xc0u | (code >> 6));
        put(0x80u | (code & 0x3fu));
    } else {
        put(0xe0u | (code >> 12));
        put(0x80u | ((code >> 6) & 0x3fu));
        put(0x80u | (code & 0x3fu));
    }
}

bool isResolved(std::uint32_t code) {
    const bool lineOrTab = code == '\t' || code == '\n' || code == '\r';
    const bool control = code < 0x20 || (code >= 0x7f && code <= 0x9f);
    const bool surrogate = code >= 0xd800 && code <= 0xdfff;
    return lineOrTab || (!control && !surrogate);
}

/// The `t` of a child of a rich text: itself or that of a run; null for phonetic parts and all else.
pugi::xml_node shownText(pugi::xml_node child) {
    if (isNamed(child.name(), "t")) {
        return child;
    }
    return isNamed(child.name(), "r") ? childNamed(child, "t") : pugi::xml_node{};
}

}  // namespace

bool parsePiece(pugi::xml_document& document, std::span<char> piece) {
    constexpr unsigned flags = pugi::parse_cdata | pugi::parse_escapes | pugi::parse_wconv_attribute |
                               pugi::parse_eol | pugi::parse_ws_pcdata;
    return document.load_buffer_inplace(piece.data(), piece.size(), flags, pugi::encoding_utf8).status ==
           pugi::status_ok;
}

bool isNamed(const char* xmlName, std::string_view name) {
    if (name == xmlName) {
        return true;
    }
    const char* const colon = std::strchr(xmlName, ':');
    return colon != nullptr && name == colon + 1;
}

pugi::xml_node childNamed(pugi::xml_node node, std::string_view name) {
    for (const pugi::xml_node child : node) {
        if (isNamed(child.name(), name)) {
            return child;
        }
    }
    return {};
}

pugi::xml_attribute attributeNamed(pugi::xml_node node, std::string_view name) {
    for (const pugi::xml_attribute attribute : node.attributes()) {
        if (isNamed(attribute.name(), name)) {
            return attribute;
        }
    }
    return {};
}

std::string_view textOf(pugi::xml_node node, std::string& scratch) {
    std::string_view only;
    int pieces = 0;
    for (pugi::xml_node child = node.first_child(); child; child = child.next_sibling()) {
        if (child.type() != pugi::node_pcdata && child.type() != pugi::node_cdata) {
            continue;
        }
        if (pieces == 0) {
            only = child.value();
        } else {
            if (pieces == 1) {
                scratch = only;
            }
            scratch += child.value();
        }
        ++pieces;
    }
    return pieces > 1 ? std::string_view{scratch} : only;
}

std::string_view richTextOf(pugi::xml_node node, std::string& scratch) {
    pugi::xml_node only;
    std::size_t texts = 0;
    for (const pugi::xml_node child : node) {
        if (const pugi::xml_node text = shownText(child)) {
            only = text;
            ++texts;
        }
    }
    std::string_view whole;
    if (texts > 1) {
        std::string joined;
        for (const pugi::xml_node child : node) {
            joined += textOf(shownText(child), scratch);
        }
        scratch = std::move(joined);
        whole = scratch;
    } else {
        whole = textOf(only, scratch);
    }
    if (whole.find("_x") != std::string_view::npos) {
        scratch = withoutEscapes(whole);
        whole = scratch;
    }
    return whole;
}

std::string withoutEscapes(std::string_view text) {
    constexpr std::size_t escapeBytes = 7;  // _xHHHH_
    std::string out;
    for (std::size_t i = 0; i < text.size();) {
        std::uint32_t code = 0;
        const char* const digits = text.data() + i + 2;
        const bool shaped = i + escapeBytes <= text.size() && text.substr(i, 2) == "_x" &&
                            text[i + 6] == '_' &&
                            std::from_chars(digits, digits + 4, code, 16).ptr == digits + 4;
        if (shaped && isResolved(code)) {
            appendUtf8(code, out);
            i += escapeBytes;
        } else {
            out += text[i];
            ++i;
        }
    }
    return out;
}

}  // namespace aftercurve
