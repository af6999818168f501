#include "core/report/inline_svg.h"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

namespace aftercurve {

using testing::AllOf;
using testing::HasSubstr;
using testing::Not;

namespace {

std::string inlined(const std::string& body) {
    const auto svg = inlineSvg(
        "<?xml version=\"1.0\"?><!DOCTYPE svg><svg xmlns=\"http://www.w3.org/2000/svg\" "
        "xmlns:xlink=\"http://www.w3.org/1999/xlink\">" +
            body + "</svg>",
        {"p-", "A <title>", "What \"it\" shows"});
    EXPECT_TRUE(svg.ok());
    return svg.ok() ? svg.value() : std::string{};
}

}  // namespace

TEST(InlineSvg, IdsAndWhatPointsToThemGetThePrefix) {
    const std::string svg = inlined(
        "<defs><linearGradient id=\"g\"/><linearGradient id=\"h\" xlink:href=\"#g\"/></defs>"
        "<rect fill=\"url(#g)\" stroke=\"url(#h)\"/>");
    EXPECT_THAT(svg, AllOf(HasSubstr("id=\"p-g\""), HasSubstr("xlink:href=\"#p-g\""),
                           HasSubstr("fill=\"url(#p-g)\""), HasSubstr("stroke=\"url(#p-h)\"")));
    EXPECT_THAT(svg, AllOf(Not(HasSubstr("<?xml")), Not(HasSubstr("DOCTYPE"))));
}

TEST(InlineSvg, HasItsOwnTitleAndDescription) {
    const std::string svg = inlined("<title>old</title><desc>old</desc><rect/>");
    EXPECT_THAT(svg, AllOf(HasSubstr("role=\"img\""), HasSubstr("aria-labelledby=\"p-title\""),
                           HasSubstr("<title id=\"p-title\">A &lt;title&gt;</title>"),
                           HasSubstr("<desc id=\"p-desc\">What \"it\" shows</desc>"), Not(HasSubstr("old"))));
}

TEST(InlineSvg, BlanksInATextStay) {
    EXPECT_THAT(inlined("<text> a  b </text>"), HasSubstr("<text> a  b </text>"));
}

TEST(InlineSvg, WhatCouldRunOrFetchIsTakenOut) {
    const std::string svg = inlined(
        "<script>x()</script><foreignObject><p/></foreignObject><style>@import 'http://x/y';</style>"
        "<rect onclick=\"x()\" fill=\"url(http://x/y#z)\" style=\"fill: url(http://x)\"/>"
        "<image href=\"http://x/y.png\"/><image xlink:href=\"data:image/png;base64,AAAA\"/>"
        "<g><g><script/></g></g>");
    EXPECT_THAT(svg, AllOf(Not(HasSubstr("script")), Not(HasSubstr("foreignObject")),
                           Not(HasSubstr("@import")), Not(HasSubstr("onclick")), Not(HasSubstr("http://x"))));
    EXPECT_THAT(svg, HasSubstr("data:image/png;base64,AAAA"));
}

TEST(InlineSvg, WhatIsNoSvgIsAProblem) {
    for (const char* text : {"", "<svg", "<html/>", "text", "<svg><rect></svg>"}) {
        EXPECT_FALSE(inlineSvg(text, {"p-", "t", "d"}).ok()) << text;
    }
}

}  // namespace aftercurve
