#include "core/report/report_html.h"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include <cmath>
#include <regex>

#include "core/findings/analyse.h"
#include "core/report/report_style.h"
#include "tests/support/feeding_study.h"
#include "tests/support/report_page.h"

namespace aftercurve {

using test::expectSelfContained;
using test::FeedingStudy;
using testing::AllOf;
using testing::HasSubstr;
using testing::Not;

namespace {

constexpr const char* picture =
    "<?xml version=\"1.0\" standalone=\"no\"?>\n<svg xmlns=\"http://www.w3.org/2000/svg\" width=\"10mm\" "
    "height=\"10mm\"><title>own</title><defs><clipPath id=\"c\"><rect width=\"5\" height=\"5\"/></clipPath>"
    "</defs><g clip-path=\"url(#c)\"><text x=\"1\" y=\"2\">a  b</text></g></svg>";

std::string pageOf(const Study& study, std::size_t figures = 0) {
    auto findings = analyse(study, study.plan);
    EXPECT_TRUE(findings.ok());
    std::vector<FigureSpec> specs(figures);
    for (std::size_t i = 0; i < figures; ++i) {
        specs[i].id = "figure" + std::to_string(i);
        specs[i].title = "Title & more";
        specs[i].caption = "What it shows.";
    }
    return reportHtml(reportDocument(study, findings.value(), specs),
                      std::vector<ReportPicture>(figures, {picture, {}}));
}

/// Relative luminance and contrast: WCAG 2.1, definitions of "relative luminance" and "contrast ratio".
double luminanceOf(const std::string& colour) {
    const auto channel = [&colour](std::size_t at) {
        const double c = std::stoi(colour.substr(at, 2), nullptr, 16) / 255.0;
        return c <= 0.03928 ? c / 12.92 : std::pow((c + 0.055) / 1.055, 2.4);
    };
    return 0.2126 * channel(1) + 0.7152 * channel(3) + 0.0722 * channel(5);
}

double contrastOf(const std::string& a, const std::string& b) {
    const double la = luminanceOf(a);
    const double lb = luminanceOf(b);
    return (std::max(la, lb) + 0.05) / (std::min(la, lb) + 0.05);
}

}  // namespace

TEST(ReportHtml, IsOneWellFormedPageThatNeedsNothingElse) {
    FeedingStudy data;
    data.study.exclusions = {{"01", "oats", std::nullopt, "", "unwell", "AB", "2026-03-02"}};
    const std::string html = pageOf(data.study, 2);
    expectSelfContained(html);
    EXPECT_THAT(html, AllOf(HasSubstr("<html xmlns=\"http://www.w3.org/1999/xhtml\" lang=\"en\">"),
                            HasSubstr("class=\"skip\" href=\"#main\""), HasSubstr("not for diagnosis"),
                            HasSubstr("<th scope=\"col\""), HasSubstr("<th scope=\"row\">"),
                            HasSubstr("<caption"), HasSubstr("<thead>"), HasSubstr("role=\"img\""),
                            HasSubstr("Results with and without the exclusions"), HasSubstr("unwell")));
    EXPECT_THAT(html, AllOf(Not(HasSubstr("<?xml")), Not(HasSubstr("<script"))));
}

TEST(ReportHtml, TheSameStudyGivesTheSameBytes) {
    const FeedingStudy data;
    EXPECT_EQ(pageOf(data.study, 1), pageOf(data.study, 1));
}

TEST(ReportHtml, AnEmptyStudyGivesAWellFormedPage) {
    expectSelfContained(reportHtml(reportDocument({}, {}, {}), {}));
}

TEST(ReportHtml, HostileTextsAreShownAndNotRun) {
    FeedingStudy data;
    const std::string hostile = "<script>alert('x')</script>\" onload=\"y\" & \x01\xff\xef\xbf\xbf";
    data.study.title = hostile;
    data.study.foods[0].label = hostile;
    data.study.foods[1].label = "]]> <!-- " + hostile;
    data.study.analytes[0].specimen = hostile;
    data.study.conduct.ethics = hostile;
    data.study.exclusions = {{"01", "oats", std::nullopt, "", hostile, hostile, ""}};
    const std::string html = pageOf(data.study, 1);
    expectSelfContained(html);
    EXPECT_THAT(html, AllOf(Not(HasSubstr("<script")), Not(HasSubstr("onload=\"y\"")),
                            HasSubstr("&lt;script&gt;alert(&#39;x&#39;)&lt;/script&gt;")));
}

TEST(ReportHtml, SentencesLeadToTheRowsTheyRestOn) {
    const FeedingStudy data;
    const std::string html = pageOf(data.study);
    EXPECT_THAT(html, HasSubstr("<a href=\"#table-comparisons-row-1\">Table "));
    EXPECT_THAT(html, HasSubstr("<tr id=\"table-comparisons-row-1\""));
}

TEST(ReportHtml, HeadingsStandInOrder) {
    const FeedingStudy data;
    const std::string html = pageOf(data.study);
    const std::regex heading("<h([1-6])");
    int last = 0;
    int first = 0;
    for (std::sregex_iterator it(html.begin(), html.end(), heading); it != std::sregex_iterator{}; ++it) {
        const int level = std::stoi((*it)[1]);
        first += level == 1 ? 1 : 0;
        EXPECT_LE(level, last + 1);
        last = level;
    }
    EXPECT_EQ(first, 1);
}

TEST(ReportHtml, AFigureWithoutAPictureSaysWhy) {
    std::vector<FigureSpec> specs(2);
    const ReportDocument document = reportDocument({}, {}, specs);
    const std::string html = reportHtml(document, {{"", "columns 9"}, {"<svg", ""}});
    expectSelfContained(html);
    EXPECT_THAT(html, AllOf(HasSubstr("Not drawn: columns 9."), HasSubstr("no well-formed SVG")));
}

TEST(ReportHtml, ATitleThatEndsInAFullStopGetsNoSecondOne) {
    std::vector<FigureSpec> specs(2);
    specs[0].title = "Mean curves";
    specs[1].title = "Mean curves of 5 mg.";
    const std::string html = reportHtml(reportDocument({}, {}, specs), {});
    EXPECT_THAT(html, AllOf(HasSubstr("<strong>Mean curves.</strong>"),
                            HasSubstr("<strong>Mean curves of 5 mg.</strong>")));
}

TEST(ReportHtml, ColoursOfTextDifferEnoughFromTheGround) {
    const std::string css{reportStyle};
    const std::regex colour("[ {;]color: (#[0-9a-f]{6})");
    int found = 0;
    for (std::sregex_iterator it(css.begin(), css.end(), colour); it != std::sregex_iterator{}; ++it) {
        for (const char* ground : {"#ffffff", "#faf4ea", "#fdf0c8"}) {
            EXPECT_GE(contrastOf((*it)[1], ground), 4.5) << (*it)[1] << " on " << ground;
        }
        ++found;
    }
    EXPECT_GE(found, 8);
    // The measure itself: black on white is 21 (WCAG 2.1).
    EXPECT_NEAR(contrastOf("#000000", "#ffffff"), 21.0, 1e-12);
}

}  // namespace aftercurve
