// The page in a real browser: Debian's package chromium (bash tests/run.sh --develop).
#include <gmock/gmock.h>

#include <QFile>
#include <QProcess>
#include <QRegularExpression>
#include <QStandardPaths>
#include <QTemporaryDir>

#include "tests/support/figure_fixture.h"
#include "ui/report/report_draft.h"

namespace aftercurve {

namespace {

/// The page as the browser holds it after reading a file of that name; nothing where there is no browser.
std::optional<QString> asRead(const std::string& html, const QString& name) {
    const QString browser = QStandardPaths::findExecutable(QStringLiteral("chromium"));
    if (browser.isEmpty()) {
        return std::nullopt;
    }
    const QTemporaryDir folder;
    QFile file(folder.filePath(name));
    EXPECT_TRUE(file.open(QIODevice::WriteOnly));
    file.write(QByteArray::fromStdString(html));
    file.close();
    QProcess process;
    process.start(browser,
                  {QStringLiteral("--headless"), QStringLiteral("--no-sandbox"),
                   QStringLiteral("--disable-gpu"), QStringLiteral("--host-resolver-rules=MAP * ~NOTFOUND"),
                   QStringLiteral("--user-data-dir=") + folder.filePath(QStringLiteral("profile")),
                   QStringLiteral("--dump-dom"), QStringLiteral("file://") + file.fileName()});
    EXPECT_TRUE(process.waitForFinished(120000));
    EXPECT_EQ(process.exitCode(), 0) << process.readAllStandardError().toStdString();
    return QString::fromUtf8(process.readAllStandardOutput());
}

}  // namespace

TEST(ReportInABrowser, IsReadAsHtmlAndAsXmlWithAllItsTablesAndFigures) {
    const auto input = fixture::analysedTrial();
    ReportRequest request;
    request.pdf = false;
    const auto files = makeReport(input.study, input.findings, request);
    ASSERT_TRUE(files.ok());
    const std::string& html = files.value().front().bytes;
    const QString written = QString::fromStdString(html);
    for (const char* name : {"report.html", "report.xhtml"}) {
        const auto page = asRead(html, QLatin1String(name));
        if (!page) {
            GTEST_SKIP() << "chromium is not installed";
        }
        EXPECT_FALSE(page->contains(QStringLiteral("parsererror"))) << name;
        for (const char* element : {"<table", "<svg", "<section", "<figcaption", "<tr"}) {
            const QRegularExpression pattern(QLatin1String(element) + QStringLiteral("[ >]"));
            EXPECT_EQ(page->count(pattern), written.count(pattern)) << element << " in " << name;
        }
    }
}

}  // namespace aftercurve
