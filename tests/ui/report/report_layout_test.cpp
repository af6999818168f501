#include "ui/report/report_layout.h"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include <algorithm>

#include "core/findings/analyse.h"
#include "tests/support/feeding_study.h"
#include "ui/report/report_letters.h"

namespace aftercurve {

namespace {

ReportDocument documentOf(const Study& study) {
    auto findings = analyse(study, study.plan);
    EXPECT_TRUE(findings.ok());
    std::vector<FigureSpec> figures(3);
    figures[1].style.heightMm = 390.0;
    figures[2].style.widthMm = 400.0;
    figures[2].caption = std::string(3000, 'w') + " and " + std::string(900, 'v');
    return reportDocument(study, findings.value(), figures);
}

/// Where the letters of a line stand: from the top of an x to the baseline, a little off its ends, so that
/// what only touches does not count.
QRectF inkOf(const PlacedText& text) {
    const double height = QFontMetricsF(fontFor(text.look)).xHeight();
    return QRectF(text.baseline.x() + 2.0, text.baseline.y() - height, std::max(1.0, text.width - 4.0),
                  height);
}

void expectOrderly(const std::vector<ReportPage>& pages) {
    for (std::size_t p = 0; p < pages.size(); ++p) {
        const ReportPage& page = pages[p];
        for (const PlacedText& text : page.texts) {
            const QRectF ink = inkOf(text);
            EXPECT_GE(ink.left(), sideMargin) << text.text.toStdString();
            EXPECT_LE(ink.right(), pageWidth - sideMargin + 25.0)  // a mark may hang a little
                << "page " << p + 1 << ": " << text.text.toStdString();
            EXPECT_GE(ink.top(), topMargin);
            EXPECT_LE(text.baseline.y(), text.look == TextLook::footer ? pageHeight : textBottom)
                << "page " << p + 1 << ": " << text.text.toStdString();
        }
        for (const PlacedFigure& figure : page.figures) {
            EXPECT_LE(figure.room.bottom(), textBottom);
            EXPECT_LE(figure.room.right(), pageWidth - sideMargin + 0.01);
            for (const PlacedText& text : page.texts) {
                EXPECT_FALSE(figure.room.intersects(inkOf(text))) << text.text.toStdString();
            }
        }
        std::vector<PlacedText> texts = page.texts;
        std::sort(texts.begin(), texts.end(),
                  [](const PlacedText& a, const PlacedText& b) { return a.baseline.y() < b.baseline.y(); });
        for (std::size_t i = 0; i < texts.size(); ++i) {
            for (std::size_t k = i + 1; k < texts.size(); ++k) {
                if (texts[k].baseline.y() - texts[i].baseline.y() > 200.0) {
                    break;
                }
                const bool mark = texts[i].look == TextLook::mark || texts[k].look == TextLook::mark;
                EXPECT_FALSE(!mark && inkOf(texts[i]).intersects(inkOf(texts[k])))
                    << "page " << p + 1 << ": '" << texts[i].text.toStdString() << "' over '"
                    << texts[k].text.toStdString() << "'";
            }
        }
    }
}

bool holds(const ReportPage& page, const QString& text) {
    return std::any_of(page.texts.begin(), page.texts.end(),
                       [&text](const PlacedText& placed) { return placed.text.contains(text); });
}

ReportDocument documentWith(ReportTable table) {
    ReportDocument document;
    document.title = "One table";
    document.sections.push_back({"caution", "Caution", {ReportParagraph{{{"Take care.", {}}}}}});
    document.sections.push_back({"results", "Results", {std::move(table)}});
    return document;
}

ReportTable tableOf(std::size_t columns, std::size_t rows, const std::string& cell) {
    ReportTable table;
    table.number = 1;
    table.printed.key = "invented";
    table.printed.title = "Invented";
    for (std::size_t c = 0; c < columns; ++c) {
        table.printed.columns.push_back({"Head " + std::to_string(c), "", c > 0, 0});
    }
    for (std::size_t r = 0; r < rows; ++r) {
        PrintedRow row;
        for (std::size_t c = 0; c < columns; ++c) {
            row.cells.push_back({c == 0 ? "row " + std::to_string(r) : cell, ""});
        }
        table.printed.rows.push_back(std::move(row));
    }
    return table;
}

}  // namespace

TEST(ReportLayout, NothingIsCutOffAndNothingStandsOverSomethingElse) {
    test::FeedingStudy data;
    data.study.foods[0].label = "Bread " + std::string(300, 'x');
    data.study.exclusions = {{"01", "oats", std::nullopt, "", std::string(5000, 'r') + " unwell", "AB", ""}};
    const auto pages = layOut(documentOf(data.study));
    EXPECT_GT(pages.size(), 5U);
    expectOrderly(pages);
}

TEST(ReportLayout, AnEmptyStudyHasItsPages) {
    const auto pages = layOut(reportDocument({}, {}, {}));
    expectOrderly(pages);
    EXPECT_TRUE(holds(pages.front(), QStringLiteral("not for diagnosis")));
}

TEST(ReportLayout, TheHeadIsRepeatedOnEveryPage) {
    const auto pages = layOut(documentWith(tableOf(3, 300, "1.25")));
    expectOrderly(pages);
    EXPECT_GT(pages.size(), 3U);
    int withRows = 0;
    for (const ReportPage& page : pages) {
        if (holds(page, QStringLiteral("row "))) {
            ++withRows;
            EXPECT_TRUE(holds(page, QStringLiteral("Head")));  // each line of a head is placed by itself
            EXPECT_EQ(holds(page, QStringLiteral("(continued)")), withRows > 1);
        }
    }
    EXPECT_GT(withRows, 2);
}

TEST(ReportLayout, AWideTableIsSetInPartsThatEachNameTheRow) {
    const auto pages = layOut(documentWith(tableOf(40, 2, "123456.789")));
    expectOrderly(pages);
    int rows = 0;
    for (const ReportPage& page : pages) {
        for (const PlacedText& text : page.texts) {
            rows += text.text == QStringLiteral("row 1") ? 1 : 0;
        }
    }
    EXPECT_GT(rows, 2);
    EXPECT_TRUE(std::any_of(pages.begin(), pages.end(), [](const ReportPage& page) {
        return holds(page, QStringLiteral("The table is wider than the page"));
    }));
}

TEST(ReportLayout, ARowTallerThanAPageGoesOnOnTheNext) {
    ReportTable table = tableOf(2, 1, "");
    table.printed.columns[1].numeric = false;
    std::string words;
    for (int i = 0; i < 9000; ++i) {
        words += "word ";
    }
    table.printed.rows[0].cells[1].text = words + "end";
    const auto pages = layOut(documentWith(std::move(table)));
    expectOrderly(pages);
    EXPECT_TRUE(holds(pages.back(), QStringLiteral("end")));
}

TEST(ReportLayout, EveryPageHasItsNumber) {
    const auto pages = layOut(documentWith(tableOf(3, 200, "1.25")));
    for (std::size_t p = 0; p < pages.size(); ++p) {
        EXPECT_TRUE(holds(pages[p], QStringLiteral("page %1 of %2").arg(p + 1).arg(pages.size())));
    }
}

}  // namespace aftercurve
