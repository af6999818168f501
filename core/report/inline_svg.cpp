#include "core/report/inline_svg.h"

#include <array>
#include <cstring>
#include <pugixml.hpp>
#include <sstream>
#include <vector>

#include "core/publish/clean_text.h"

namespace aftercurve {

namespace {

bool isOneOf(std::string_view name, std::initializer_list<std::string_view> names) {
    for (const std::string_view one : names) {
        if (name == one) {
            return true;
        }
    }
    return false;
}

/// "url(#a)" as "url(#p-a)", wherever it stands in a value.
std::string withPrefixedReferences(std::string_view value, const std::string& prefix) {
    constexpr std::string_view reference = "url(#";
    std::string text;
    while (true) {
        const std::size_t at = value.find(reference);
        if (at == std::string_view::npos) {
            return text += value;
        }
        text += value.substr(0, at + reference.size());
        text += prefix;
        value.remove_prefix(at + reference.size());
    }
}

/// False where the attribute has to go.
bool mend(pugi::xml_attribute& attribute, const std::string& prefix) {
    const std::string_view name = attribute.name();
    const std::string value = attribute.value();
    if (name.starts_with("on")) {
        return false;
    }
    if (name == "id") {
        attribute.set_value((prefix + value).c_str());
    } else if (name == "href" || name == "xlink:href") {
        if (value.starts_with('#')) {
            attribute.set_value(("#" + prefix + value.substr(1)).c_str());
        } else if (!value.starts_with("data:image/png") && !value.starts_with("data:image/jpeg")) {
            return false;
        }
    } else if (value.find("url(") != std::string::npos) {
        if (value.find("url(") != value.find("url(#")) {
            return false;
        }
        attribute.set_value(withPrefixedReferences(value, prefix).c_str());
    }
    return true;
}

void mendAll(pugi::xml_node root, const std::string& prefix) {
    std::vector<pugi::xml_node> open{root};
    while (!open.empty()) {
        const pugi::xml_node node = open.back();
        open.pop_back();
        for (pugi::xml_attribute attribute = node.first_attribute(); attribute;) {
            const pugi::xml_attribute next = attribute.next_attribute();
            if (!mend(attribute, prefix)) {
                pugi::xml_node owner = node;
                owner.remove_attribute(attribute);
            }
            attribute = next;
        }
        for (pugi::xml_node child = node.first_child(); child;) {
            const pugi::xml_node next = child.next_sibling();
            const bool unfit =
                isOneOf(child.name(), {"script", "foreignObject", "style", "iframe", "a", "use"}) ||
                isOneOf(child.name(), {"animate", "set", "metadata"}) || child.type() == pugi::node_pi ||
                child.type() == pugi::node_comment;
            if (unfit) {
                pugi::xml_node owner = node;
                owner.remove_child(child);
            } else if (child.type() == pugi::node_element) {
                open.push_back(child);
            }
            child = next;
        }
    }
}

void setAttribute(pugi::xml_node node, const char* name, const std::string& value) {
    node.remove_attribute(name);
    node.append_attribute(name).set_value(value.c_str());
}

/// Title and description as the first children, in place of those of the file.
void setWords(pugi::xml_node root, const SvgWords& words) {
    for (const char* name : {"desc", "title"}) {
        while (root.remove_child(name)) {
        }
    }
    const auto addFirst = [&](const char* name, const std::string& text) {
        pugi::xml_node node = root.prepend_child(name);
        node.append_attribute("id").set_value((words.prefix + name).c_str());
        node.text().set(cleanText(text).c_str());
    };
    addFirst("desc", words.description);
    addFirst("title", words.title);
    setAttribute(root, "role", "img");
    setAttribute(root, "aria-labelledby", words.prefix + "title");
    setAttribute(root, "aria-describedby", words.prefix + "desc");
}

}  // namespace

Result<std::string> inlineSvg(std::string_view svg, const SvgWords& words) {
    pugi::xml_document document;
    const pugi::xml_parse_result parsed = document.load_buffer(
        svg.data(), svg.size(), pugi::parse_default | pugi::parse_ws_pcdata, pugi::encoding_utf8);
    const pugi::xml_node root = document.child("svg");
    if (!parsed || !root) {
        Problem problem;
        problem.what = "the picture is no well-formed SVG";
        problem.remedy = "report this with the study that it was drawn from";
        return problem;
    }
    mendAll(root, words.prefix);
    setWords(root, words);
    std::ostringstream text;
    root.print(text, "", pugi::format_raw, pugi::encoding_utf8);
    return text.str();
}

}  // namespace aftercurve
