#include "ui/report/report_draft.h"

#include <gmock/gmock.h>

#include <QFile>
#include <QProcess>
#include <QRegularExpression>
#include <QStandardPaths>
#include <QTemporaryDir>

#include "tests/support/figure_fixture.h"
#include "tests/support/report_page.h"

namespace aftercurve {

using testing::HasSubstr;

namespace {

std::vector<ReportFile> filesOf(const fixture::FigureInput& input, const ReportRequest& request = {}) {
    auto files = makeReport(input.study, input.findings, request);
    EXPECT_TRUE(files.ok()) << (files.ok() ? "" : files.problem().what);
    return files.ok() ? std::move(files).value() : std::vector<ReportFile>{};
}

int pagesOf(const std::string& pdf) {
    static const QRegularExpression page(QStringLiteral("/Type /Page\\s"));
    return static_cast<int>(QString::fromLatin1(pdf).count(page));
}

/// What a program of poppler-utils prints about a PDF; nothing where it is not installed.
std::optional<QString> said(const QString& program, const QStringList& options, const std::string& pdf) {
    const QString path = QStandardPaths::findExecutable(program);
    if (path.isEmpty()) {
        return std::nullopt;
    }
    const QTemporaryDir folder;
    QFile file(folder.filePath(QStringLiteral("report.pdf")));
    EXPECT_TRUE(file.open(QIODevice::WriteOnly));
    file.write(QByteArray::fromStdString(pdf));
    file.close();
    QProcess process;
    QStringList arguments = options;
    arguments << file.fileName();
    if (program == QStringLiteral("pdftotext")) {
        arguments << QStringLiteral("-");
    }
    process.start(path, arguments);
    EXPECT_TRUE(process.waitForFinished(60000));
    EXPECT_EQ(process.exitCode(), 0) << process.readAllStandardError().toStdString();
    return QString::fromUtf8(process.readAllStandardOutput());
}

}  // namespace

TEST(Report, TheSameStudyGivesTheSameBytesInBothFormats) {
    const auto input = fixture::analysedTrial();
    const auto once = filesOf(input);
    const auto again = filesOf(input);
    ASSERT_EQ(once.size(), 2U);
    EXPECT_EQ(once[0].name, "report.html");
    EXPECT_EQ(once[1].name, "report.pdf");
    EXPECT_EQ(once[0].bytes, again[0].bytes);
    EXPECT_EQ(once[1].bytes, again[1].bytes);
}

TEST(Report, ThePageIsWholeInItselfWithItsFigures) {
    const auto files = filesOf(fixture::analysedTrial());
    test::expectSelfContained(files[0].bytes);
    EXPECT_THAT(files[0].bytes, HasSubstr("<svg"));
    EXPECT_THAT(files[0].bytes, testing::Not(HasSubstr("Not drawn")));
}

TEST(Report, ThePdfHasItsPagesTitleAndDate) {
    const auto input = fixture::analysedTrial();
    ReportRequest request;
    request.html = false;
    const auto draft = draftReport(input.study, input.findings, request);
    ASSERT_TRUE(draft.ok());
    const std::string pdf = filesOf(input, request).front().bytes;
    EXPECT_EQ(pagesOf(pdf), static_cast<int>(draft.value().pages.size()));
    EXPECT_THAT(pdf, HasSubstr("/CreationDate (D:20000101000000Z"));
    request.options.date = "2026-03-02";
    EXPECT_THAT(filesOf(input, request).front().bytes, HasSubstr("/CreationDate (D:20260302000000Z"));
}

TEST(Report, ThePdfHoldsTheWordsAsText) {
    const auto input = fixture::analysedTrial();
    const auto files = filesOf(input);
    const auto text = said(QStringLiteral("pdftotext"), {QStringLiteral("-layout")}, files[1].bytes);
    if (!text) {
        GTEST_SKIP() << "pdftotext (poppler-utils) is not installed";
    }
    for (const char* words : {"not for diagnosis", "Contents", "Methods", "Table 1. Foods", "Figure 1.",
                              "Where it comes from", "page 1 of"}) {
        EXPECT_TRUE(text->contains(QLatin1String(words))) << words;
    }
}

TEST(Report, EveryFontOfThePdfIsEmbedded) {
    const auto fonts = said(QStringLiteral("pdffonts"), {}, filesOf(fixture::analysedTrial())[1].bytes);
    if (!fonts) {
        GTEST_SKIP() << "pdffonts (poppler-utils) is not installed";
    }
    const QStringList lines = fonts->split(u'\n', Qt::SkipEmptyParts);
    ASSERT_GT(lines.size(), 2);
    // The columns "emb sub uni object ID" end the line; emb is the fifth word from the end.
    for (const QString& line : lines.mid(2)) {
        const QStringList words = line.split(u' ', Qt::SkipEmptyParts);
        EXPECT_EQ(words.value(words.size() - 5), QStringLiteral("yes")) << line.toStdString();
    }
}

TEST(Report, IsStoppedBetweenTwoSteps) {
    const auto input = fixture::analysedTrial();
    int asked = 0;
    const auto files = makeReport(input.study, input.findings, {},
                                  [&asked](double, std::string_view) { return ++asked < 3; });
    ASSERT_FALSE(files.ok());
    EXPECT_EQ(files.problem().what, "cancelled");
    EXPECT_EQ(asked, 3);
}

TEST(Report, WhatCannotBeAskedForIsSaid) {
    ReportRequest request;
    request.html = false;
    request.pdf = false;
    EXPECT_FALSE(draftReport({}, {}, request).ok());
    request.pdf = true;
    request.options.date = "tomorrow";
    EXPECT_FALSE(draftReport({}, {}, request).ok());
}

TEST(Report, AnEmptyStudyHasAReport) {
    const auto files = filesOf({});
    ASSERT_EQ(files.size(), 2U);
    test::expectSelfContained(files[0].bytes);
    EXPECT_GE(pagesOf(files[1].bytes), 1);
}

}  // namespace aftercurve
