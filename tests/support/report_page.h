#pragma once

#include <gtest/gtest.h>

#include <pugixml.hpp>
#include <set>
#include <string>
#include <vector>

namespace aftercurve::test {

/// What a page of HTML that is XML too holds; fails the test where it is not well-formed.
struct PageFacts {
    bool wellFormed = false;
    std::vector<std::string> ids;
    std::vector<std::string> targets;    ///< of every href, url(#...) and aria reference, without "#"
    std::vector<std::string> elsewhere;  ///< attributes that would fetch something from outside
    std::set<std::string> elements;
};

inline void collect(const pugi::xml_node& node, PageFacts& facts) {
    facts.elements.insert(node.name());
    for (const pugi::xml_attribute& attribute : node.attributes()) {
        const std::string name = attribute.name();
        const std::string value = attribute.value();
        if (name == "id") {
            facts.ids.push_back(value);
        } else if (name == "href" || name == "xlink:href" || name == "src") {
            if (value.starts_with("#")) {
                facts.targets.push_back(value.substr(1));
            } else if (!value.starts_with("data:image/")) {
                facts.elsewhere.push_back(value);
            }
        } else if (name == "aria-labelledby" || name == "aria-describedby") {
            facts.targets.push_back(value);
        } else if (const auto at = value.find("url(#"); at != std::string::npos) {
            facts.targets.push_back(value.substr(at + 5, value.find(')', at) - at - 5));
        } else if (value.find("url(") != std::string::npos || name.starts_with("on")) {
            facts.elsewhere.push_back(value);
        }
    }
    for (const pugi::xml_node& child : node.children()) {
        if (child.type() == pugi::node_element) {
            collect(child, facts);
        }
    }
}

inline PageFacts factsOf(const std::string& html) {
    PageFacts facts;
    pugi::xml_document page;
    const auto parsed = page.load_buffer(html.data(), html.size(), pugi::parse_default | pugi::parse_doctype,
                                         pugi::encoding_utf8);
    EXPECT_TRUE(parsed) << parsed.description() << " at "
                        << html.substr(
                               static_cast<std::size_t>(std::max<std::ptrdiff_t>(parsed.offset - 80, 0)),
                               160);
    facts.wellFormed = static_cast<bool>(parsed);
    collect(page.child("html"), facts);
    return facts;
}

/// Every id stands once, every reference leads somewhere, and nothing comes from elsewhere.
inline void expectSelfContained(const std::string& html) {
    const PageFacts facts = factsOf(html);
    const std::set<std::string> ids(facts.ids.begin(), facts.ids.end());
    EXPECT_EQ(ids.size(), facts.ids.size()) << "an id stands twice";
    for (const std::string& target : facts.targets) {
        EXPECT_TRUE(ids.contains(target)) << "nothing has the id " << target;
    }
    EXPECT_TRUE(facts.elsewhere.empty()) << facts.elsewhere.front();
    EXPECT_FALSE(facts.elements.contains("script"));
}

}  // namespace aftercurve::test
