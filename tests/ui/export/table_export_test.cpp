#include "ui/export/table_export.h"

#include <gtest/gtest.h>

#include <QFile>
#include <QTemporaryDir>

#include "core/publish/table_formats.h"

namespace aftercurve {

namespace {

Table exampleTable() {
    Table table;
    table.key = "example";
    table.title = "Example";
    table.columns = {{"food", "Food", "", ColumnKind::text, 0, "", {}},
                     {"mean", "Mean", "mmol/L", ColumnKind::number, 1, "", {}}};
    table.rows.emplace_back();
    table.rows.back().cells = {Cell{std::string{"=SUM(A1)"}}, Cell{-4.25}};
    return table;
}

QByteArray contents(const QString& path) {
    QFile file(path);
    return file.open(QIODevice::ReadOnly) ? file.readAll() : QByteArray();
}

}  // namespace

TEST(TableExport, GoesByTheEndingOfTheName) {
    const QTemporaryDir folder;
    const struct {
        const char* name;
        QByteArray begins;
    } cases[] = {{"table.xlsx", "PK"},
                 {"table.ODT", "PK"},
                 {"table.html", "<!DOCTYPE html>"},
                 {"table.tex", "\\documentclass"},
                 {"table.md", "# "},
                 {"table.csv", "food,mean [mmol/L]\n'=SUM(A1),-4.25\n"},
                 {"table", "food,mean"}};
    for (const auto& format : cases) {
        const QString path = folder.filePath(QLatin1String(format.name));
        EXPECT_TRUE(writeTable(exampleTable(), {}, path).ok()) << format.name;
        EXPECT_TRUE(contents(path).startsWith(format.begins)) << format.name;
    }
}

TEST(TableExport, RefusesOtherEndingsAndNamesThoseThatItWrites) {
    const QTemporaryDir folder;
    const QString path = folder.filePath(QStringLiteral("table.doc"));
    const auto done = writeTable(exampleTable(), {}, path);
    ASSERT_FALSE(done.ok());
    EXPECT_EQ(done.problem().what, "a table is not written as 'doc'");
    EXPECT_NE(done.problem().remedy.find("xlsx"), std::string::npos);
    EXPECT_FALSE(QFile::exists(path));
}

TEST(TableExport, AFileThatCannotBeWrittenIsAProblem) {
    const QTemporaryDir folder;
    EXPECT_FALSE(writeTable(exampleTable(), {}, folder.filePath(QStringLiteral("none/table.xlsx"))).ok());
}

TEST(TableExport, OffersEveryFormat) {
    const QString filter = tableFileFilter();
    for (const TableFormat& format : tableFormatList()) {
        EXPECT_TRUE(filter.contains(QStringLiteral("*.") + QString::fromStdString(std::string{format.key})));
    }
    EXPECT_FALSE(filter.contains(QStringLiteral(";;")));
}

}  // namespace aftercurve
