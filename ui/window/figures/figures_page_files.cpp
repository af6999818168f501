#include <QDir>
#include <QFileInfo>
#include <filesystem>

#include "core/figure/figure_check.h"
#include "core/files/figure_spec_json.h"
#include "ui/models/text.h"
#include "ui/window/figures/composition.h"
#include "ui/window/figures/figure_fields.h"
#include "ui/window/figures/figures_page.h"

namespace aftercurve {

namespace {

std::filesystem::path pathOf(const QString& path) {
    return std::filesystem::path(path.toStdU16String());
}

}  // namespace

void FiguresPage::saveFile() {
    const QString folder =
        setup_.settings->value(QStringLiteral("lastExportFolder"), QDir::homePath()).toString();
    const QString path = setup_.askFile(this, QDir(folder).filePath(QStringLiteral("figures.json")),
                                        tr("File of figures (*.json)"));
    if (path.isEmpty()) {
        return;
    }
    const Result<Done> done = writeFigureFile(pathOf(path), figures());
    showProblem(done ? QString() : wordsOf(done.problem()));
    if (done) {
        setup_.settings->setValue(QStringLiteral("lastExportFolder"), QFileInfo(path).absolutePath());
        Q_EMIT told(tr("Written: %1").arg(QDir::toNativeSeparators(path)));
    }
}

void FiguresPage::loadFile() {
    const QString path = setup_.askFigureFile(this);
    if (path.isEmpty()) {
        return;
    }
    Result<FigureFile> read = readFigureFile(pathOf(path));
    if (!read) {
        showProblem(wordsOf(read.problem()));
        return;
    }
    FigureFile file = std::move(read).value();
    std::vector<Problem> remarks = std::move(file.problems);
    const std::vector<Problem> ofTheStudy = figureRemarks(*session_.study(), file.figures);
    remarks.insert(remarks.end(), ofTheStudy.begin(), ofTheStudy.end());
    const auto count = static_cast<qsizetype>(file.figures.size());
    const int first = static_cast<int>(figures().size());
    chosen_ = first;
    if (edit(tr("figures of a file"), {}, [&](auto& all) { append(all, std::move(file.figures)); })) {
        Q_EMIT told(tr("%1 added").arg(counted(count, tr("%1 figure"), tr("%1 figures"))));
        QStringList words;
        for (const Problem& remark : remarks) {
            words << wordsOf(remark);
        }
        showProblem(words.mid(0, 5).join(u'\n'));
    }
}

}  // namespace aftercurve
