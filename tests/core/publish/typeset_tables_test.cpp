#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include <fstream>
#include <sstream>

#include "core/publish/html_tables.h"
#include "core/publish/latex_tables.h"
#include "core/publish/markdown_tables.h"
#include "core/publish/table_formats.h"
#include "tests/core/publish/published_tables.h"

namespace aftercurve {

using testing::HasSubstr;
using testing::Not;

namespace {

std::string replaced(std::string text, const std::string& what, const std::string& with) {
    for (std::size_t at = text.find(what); at != std::string::npos; at = text.find(what, at + with.size())) {
        text.replace(at, what.size(), with);
    }
    return text;
}

std::string golden(const std::string& name) {
    std::ifstream in(std::string{TEST_DATA} + "/tables/" + name, std::ios::binary);
    std::ostringstream text;
    text << in.rdbuf();
    return text.str();
}

Publication pilot() {
    Publication publication;
    publication.title = "Porridge & wafers, pilot";
    publication.planSha256 = "00ff";
    return publication;
}

/// The document with PROGRAM in the place of version and revision, which change by themselves; escapes of
/// the format allowed for.
std::string withoutProgram(std::string text) {
    return replaced(std::move(text), softwareText(), "PROGRAM");
}

}  // namespace

// The golden files show the layout; what each format must do to a text is tested below.
TEST(TypesetTables, HaveTheLayoutOfTheGoldenFiles) {
    const std::vector<Table> tables = {test::porridgeTable()};
    EXPECT_EQ(withoutProgram(htmlTables(tables, pilot())), golden("porridge.html"));
    EXPECT_EQ(withoutProgram(markdownTables(tables, pilot())), golden("porridge.md"));
    EXPECT_EQ(withoutProgram(latexTables(tables, pilot())), golden("porridge.tex"));
}

TEST(TypesetTables, HtmlEscapesWhateverACellHolds) {
    const std::vector<Table> tables = {test::hostileTable()};
    const std::string html = htmlTables(tables, {"<script>", "", "\"><script>"});
    EXPECT_THAT(html, Not(HasSubstr("<script")));
    EXPECT_THAT(html, Not(HasSubstr("<img")));
    EXPECT_THAT(html, Not(HasSubstr("<i>")));
    EXPECT_THAT(html, Not(HasSubstr("\u202E")));
    EXPECT_THAT(html, HasSubstr("&lt;script&gt;alert(1)&lt;/script&gt;"));
    EXPECT_THAT(html, HasSubstr("left\uFFFDtfel"));
    EXPECT_THAT(html, HasSubstr("scope=\"col\""));
    EXPECT_THAT(html, HasSubstr("scope=\"row\""));
    EXPECT_THAT(html, HasSubstr("&amp;amp;"));
}

TEST(TypesetTables, MarkdownKeepsEachCellInItsPlace) {
    const std::vector<Table> tables = {test::hostileTable()};
    const std::string text = markdownTables(tables, pilot());
    std::istringstream lines(text);
    std::string line;
    std::size_t rows = 0;
    while (std::getline(lines, line)) {
        if (!line.starts_with("|")) {
            continue;
        }
        ++rows;
        std::size_t bars = 0;
        for (std::size_t i = 0; i < line.size(); ++i) {
            if (line[i] == '\\') {
                ++i;
            } else {
                bars += line[i] == '|' ? 1U : 0U;
            }
        }
        EXPECT_EQ(bars, 3U) << line;
    }
    EXPECT_EQ(rows, 2 + tables[0].rows.size());
    EXPECT_THAT(text, Not(HasSubstr("<script")));
    EXPECT_THAT(text, Not(HasSubstr("<img")));
    EXPECT_THAT(text, HasSubstr("| \\[x\\](y) \\*b\\* \\_c\\_ |"));
    EXPECT_THAT(text, HasSubstr("- 1\\. a list?"));
}

TEST(TypesetTables, LatexSetsItsOwnCharactersAsTheyStand) {
    EXPECT_EQ(latexEscaped("\\input{x}"), "\\textbackslash{}input\\{x\\}");
    EXPECT_EQ(latexEscaped("$x$ % # ~ ^ _ &"),
              "\\$x\\$ \\% \\# \\textasciitilde{} \\textasciicircum{} \\_ \\&");
    EXPECT_EQ(latexEscaped("\u22121.2 × 10⁻⁷"),
              "$-$1.2 $\\times$ 10\\textsuperscript{$-$}\\textsuperscript{7}");
    EXPECT_EQ(latexEscaped("< 0.001"), "\\textless{} 0.001");
    EXPECT_EQ(latexEscaped("[1] * --"), "{[}1{]} {*} -{}-");
    bool foreign = false;
    EXPECT_EQ(latexEscaped("Süß, rääbis", &foreign), "Süß, rääbis");
    EXPECT_FALSE(foreign);
    EXPECT_EQ(latexEscaped("大麦", &foreign), "大麦");
    EXPECT_TRUE(foreign);
}

TEST(TypesetTables, LatexOfHostileCellsHoldsNoCommandOfTheirs) {
    const std::vector<Table> tables = {test::hostileTable()};
    const std::string latex = latexTables(tables, {"\\write18{x}", "", ""});
    EXPECT_THAT(latex, Not(HasSubstr("\\input")));
    EXPECT_THAT(latex, Not(HasSubstr("\\write")));
    EXPECT_THAT(latex, Not(HasSubstr("LuaLaTeX")));
    // Its own two; the cell's \end{tabular} is text.
    EXPECT_EQ(latex.find("\\end{tabular}"), latex.rfind("\\end{tabular}"));
    Table foreign = test::porridgeTable();
    foreign.title = "大麦";
    EXPECT_THAT(latexTables({&foreign, 1}, {}), HasSubstr("LuaLaTeX"));
}

TEST(TypesetTables, LatexBreaksLongTablesAndTurnsWideOnes) {
    Table table = test::porridgeTable();
    EXPECT_THAT(latexTables({&table, 1}, {}), Not(HasSubstr("\\begin{longtable}")));
    table.rows.resize(longestLatexFloat + 1, table.rows.front());
    EXPECT_THAT(latexTables({&table, 1}, {}), HasSubstr("\\endhead"));
    EXPECT_THAT(latexTables({&table, 1}, {}), Not(HasSubstr("\\begin{landscape}")));
    table.columns.resize(widestLatexPortrait + 2, {"x", "x", "", ColumnKind::integer, 0, "", {}});
    for (Row& row : table.rows) {
        row.cells.resize(table.columns.size(), std::int64_t{1});
    }
    EXPECT_THAT(latexTables({&table, 1}, {}), HasSubstr("\\begin{landscape}"));
}

TEST(TypesetTables, SayWhyATableIsEmptyInEveryFormat) {
    Table table = test::porridgeTable();
    table.rows.clear();
    for (const TableFormat& format : tableFormatList()) {
        const auto bytes = format.bytes({&table, 1}, pilot());
        ASSERT_TRUE(bytes.ok()) << format.key;
        if (format.key == "html" || format.key == "md" || format.key == "tex") {
            EXPECT_THAT(bytes.value(), HasSubstr("Nothing is compared yet.")) << format.key;
        }
        const auto nothing = format.bytes({}, {});
        EXPECT_TRUE(format.key == "csv" || nothing.ok()) << format.key;
    }
}

TEST(TableFormats, AreFoundByTheEndingOfAFile) {
    EXPECT_EQ(findTableFormat("XLSX"), findTableFormat("xlsx"));
    EXPECT_EQ(findTableFormat("xls"), nullptr);
    EXPECT_EQ(findTableFormat(""), nullptr);
    EXPECT_EQ(tableFormatKeys(), "csv, xlsx, odt, tex, html, md");
    const Table table = test::porridgeTable();
    for (const TableFormat& format : tableFormatList()) {
        const auto once = format.bytes({&table, 1}, pilot());
        const auto again = format.bytes({&table, 1}, pilot());
        EXPECT_EQ(once.value(), again.value()) << format.key;
    }
}

}  // namespace aftercurve
