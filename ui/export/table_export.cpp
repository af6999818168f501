#include "ui/export/table_export.h"

#include <QCoreApplication>
#include <QFileInfo>
#include <QStringList>
#include <filesystem>

#include "core/files/atomic_write.h"
#include "core/files/excerpt.h"
#include "core/publish/table_formats.h"

namespace aftercurve {

QString tableFileFilter() {
    QStringList endings;
    for (const TableFormat& format : tableFormatList()) {
        endings << QStringLiteral("*.") +
                       QString::fromUtf8(format.key.data(), static_cast<qsizetype>(format.key.size()));
    }
    return QCoreApplication::translate("TableExport", "Tables (%1)").arg(endings.join(u' '));
}

Result<Done> writeTable(const Table& table, const Study& study, const QString& path) {
    const std::string ending = QFileInfo(path).suffix().toStdString();
    const TableFormat* format = findTableFormat(ending.empty() ? "csv" : ending);
    if (format == nullptr) {
        Problem problem;
        problem.what = "a table is not written as " + quote(ending);
        problem.remedy = "choose a name that ends in one of " + tableFormatKeys();
        return problem;
    }
    const auto bytes = format->bytes({&table, 1}, publicationOf(study));
    if (!bytes) {
        return bytes.problem();
    }
    return writeAtomically(std::filesystem::path(path.toStdU16String()), bytes.value());
}

}  // namespace aftercurve
