#include "ui/window/figures/export_figures_dialog.h"

#include <QCheckBox>
#include <QDialogButtonBox>
#include <QDir>
#include <QFileInfo>
#include <QFormLayout>
#include <QHBoxLayout>
#include <QLabel>
#include <QLineEdit>
#include <QPushButton>
#include <QTimer>
#include <QVBoxLayout>
#include <algorithm>
#include <array>
#include <cmath>
#include <filesystem>

#include "core/files/atomic_write.h"
#include "ui/models/look.h"
#include "ui/models/text.h"
#include "ui/window/figures/figure_fields.h"
#include "ui/window/word_controls.h"

namespace aftercurve {

namespace {

struct Format {
    FigureFormat format;
    const char* suffix;
    const char* text;
};
constexpr std::array<Format, 4> formats{
    {{FigureFormat::svg, "svg", QT_TRANSLATE_NOOP("ExportFiguresDialog", "SVG, lines")},
     {FigureFormat::pdf, "pdf", QT_TRANSLATE_NOOP("ExportFiguresDialog", "PDF, lines, typefaces inside")},
     {FigureFormat::png, "png", QT_TRANSLATE_NOOP("ExportFiguresDialog", "PNG, pixels")},
     {FigureFormat::tiff, "tiff", QT_TRANSLATE_NOOP("ExportFiguresDialog", "TIFF, pixels")}}};

QString key(const char* name) {
    return QStringLiteral("exportFigures/") + QLatin1String(name);
}

}  // namespace

ExportFiguresDialog::ExportFiguresDialog(std::vector<FigureSpec> figures,
                                         std::shared_ptr<const Results> results, QSettings& settings,
                                         AskFolder askFolder, QWidget* parent)
    : QDialog(parent),
      figures_(std::move(figures)),
      results_(std::move(results)),
      settings_(settings),
      askFolder_(std::move(askFolder)),
      dpi_(new NumberBox(this)),
      folder_(new QLineEdit(this)),
      outcome_(new QLabel(this)),
      form_(new QWidget(this)) {
    setObjectName(QStringLiteral("exportFigures"));
    setWindowTitle(figures_.size() == 1 ? tr("Export figure: %1").arg(shown(figures_.front().id))
                                        : tr("Export %1 figures").arg(figures_.size()));
    setAttribute(Qt::WA_DeleteOnClose);
    build();
    restore();
    update();
}

void ExportFiguresDialog::build() {
    auto* column = new QVBoxLayout(this);
    auto* form = new QFormLayout(form_);
    form->setContentsMargins(0, 0, 0, 0);
    for (const Format& format : formats) {
        auto* box = new QCheckBox(tr(format.text), form_);
        box->setObjectName(QStringLiteral("exportFigures.") + QLatin1String(format.suffix));
        box->setAccessibleName(box->text());
        form->addRow(formats_.empty() ? tr("Formats") : QString(), box);
        formats_.push_back(box);
        connect(box, &QCheckBox::toggled, this, &ExportFiguresDialog::update);
    }
    dpi_->setObjectName(QStringLiteral("exportFigures.dpi"));
    dpi_->setAccessibleName(tr("Resolution"));
    dpi_->setDecimals(0);
    dpi_->setRange(0, 99999);
    dpi_->setSuffix(tr(" dpi"));
    form->addRow(tr("&Resolution"), dpi_);
    auto* both = new QWidget(form_);
    auto* row = new QHBoxLayout(both);
    row->setContentsMargins(0, 0, 0, 0);
    folder_->setObjectName(QStringLiteral("exportFigures.folder"));
    folder_->setAccessibleName(tr("Folder to write into"));
    folder_->setMinimumWidth(fontMetrics().height() * 24);
    auto* browse = new QPushButton(tr("Choose…"), both);
    browse->setObjectName(QStringLiteral("exportFigures.browse"));
    browse->setAccessibleName(tr("Choose the folder to write into"));
    browse->setAutoDefault(false);
    row->addWidget(folder_, 1);
    row->addWidget(browse);
    auto* label = new QLabel(tr("F&older"), form_);
    label->setBuddy(folder_);
    form->addRow(label, both);
    column->addWidget(form_);
    outcome_->setObjectName(QStringLiteral("exportFigures.outcome"));
    outcome_->setWordWrap(true);
    outcome_->setTextFormat(Qt::PlainText);
    outcome_->setMinimumHeight(fontMetrics().height() * 3);
    outcome_->setAlignment(Qt::AlignLeft | Qt::AlignTop);
    column->addWidget(outcome_);
    auto* buttons = new QDialogButtonBox(QDialogButtonBox::Cancel, this);
    write_ = buttons->addButton(tr("Write"), QDialogButtonBox::AcceptRole);
    write_->setObjectName(QStringLiteral("exportFigures.write"));
    write_->setDefault(true);
    column->addWidget(buttons);
    connect(buttons, &QDialogButtonBox::accepted, this, &ExportFiguresDialog::accept);
    connect(buttons, &QDialogButtonBox::rejected, this, &ExportFiguresDialog::reject);
    connect(dpi_, &QDoubleSpinBox::valueChanged, this, &ExportFiguresDialog::update);
    connect(folder_, &QLineEdit::textChanged, this, &ExportFiguresDialog::update);
    connect(browse, &QPushButton::clicked, this, [this] {
        if (const QString chosen = askFolder_(this, folder_->text()); !chosen.isEmpty()) {
            folder_->setText(chosen);
        }
    });
}

void ExportFiguresDialog::restore() {
    const QStringList ticked =
        settings_.value(key("formats"), QStringList{QStringLiteral("pdf"), QStringLiteral("tiff")})
            .toStringList();
    for (std::size_t i = 0; i < formats.size(); ++i) {
        formats_[i]->setChecked(ticked.contains(QLatin1String(formats[i].suffix)));
    }
    dpi_->setValue(settings_.value(key("dpi"), FigureExportOptions{}.dpi).toDouble());
    folder_->setText(settings_.value(QStringLiteral("lastExportFolder"), QDir::homePath()).toString());
}

void ExportFiguresDialog::remember() {
    QStringList ticked;
    for (std::size_t i = 0; i < formats.size(); ++i) {
        if (formats_[i]->isChecked()) {
            ticked << QLatin1String(formats[i].suffix);
        }
    }
    settings_.setValue(key("formats"), ticked);
    settings_.setValue(key("dpi"), dpi_->value());
    settings_.setValue(QStringLiteral("lastExportFolder"), folder_->text().trimmed());
}

FigureExportOptions ExportFiguresDialog::optionsFor(std::size_t format) const {
    FigureExportOptions options;
    options.format = formats[format].format;
    options.dpi = static_cast<int>(std::lround(dpi_->value()));
    return options;
}

QString ExportFiguresDialog::pathOf(std::size_t figure, std::size_t format) const {
    return QDir(folder_->text().trimmed())
        .filePath(shown(figures_[figure].id) + u'.' + QLatin1String(formats[format].suffix));
}

std::vector<std::pair<std::size_t, std::size_t>> ExportFiguresDialog::planned() const {
    std::vector<std::pair<std::size_t, std::size_t>> files;
    for (std::size_t figure = 0; figure < figures_.size(); ++figure) {
        for (std::size_t format = 0; format < formats.size(); ++format) {
            if (formats_[format]->isChecked()) {
                files.emplace_back(figure, format);
            }
        }
    }
    return files;
}

void ExportFiguresDialog::tell(const QString& words, bool wrong) {
    QPalette colours = palette();
    colours.setColor(QPalette::WindowText,
                     wrong ? windowLook(palette()).error : palette().color(QPalette::WindowText));
    outcome_->setPalette(colours);
    outcome_->setText(words);
}

void ExportFiguresDialog::update() {
    const auto files = planned();
    QStringList wrong;
    bool pixels = false;
    for (std::size_t i = 0; i < formats.size(); ++i) {
        pixels = pixels || (formats_[i]->isChecked() && hasPixels(formats[i].format));
    }
    dpi_->setEnabled(pixels);
    if (files.empty()) {
        wrong << tr("Tick a format");
    }
    for (const auto& [figure, format] : files) {
        for (const Problem& problem : validate(figures_[figure].style, optionsFor(format))) {
            const QString words = wordsOf(problem);
            if (!wrong.contains(words)) {
                wrong << words;
            }
        }
    }
    const QString folder = folder_->text().trimmed();
    if (folder.isEmpty() || !QFileInfo(folder).isDir()) {
        wrong << tr("Name a folder that is there");
    }
    write_->setEnabled(wrong.isEmpty());
    if (!wrong.isEmpty()) {
        tell(wrong.join(u'\n'), true);
        return;
    }
    const auto there = std::count_if(files.begin(), files.end(), [this](const auto& file) {
        return QFileInfo::exists(pathOf(file.first, file.second));
    });
    const QString first = QFileInfo(pathOf(files.front().first, files.front().second)).fileName();
    QString words = files.size() == 1 ? first : tr("%1 files: %2, …").arg(files.size()).arg(first);
    if (there > 0) {
        words += u'\n' + counted(there, tr("%1 file of that name is there and will be replaced"),
                                 tr("%1 files of these names are there and will be replaced"));
    }
    tell(words, false);
}

void ExportFiguresDialog::accept() {
    if (!left_.empty()) {
        return;
    }
    left_ = planned();
    std::reverse(left_.begin(), left_.end());
    total_ = static_cast<int>(left_.size());
    form_->setEnabled(false);
    write_->setEnabled(false);
    writeNext();
}

void ExportFiguresDialog::writeNext() {
    if (stopped_) {
        return;
    }
    if (left_.empty()) {
        remember();
        Q_EMIT written(folder_->text().trimmed(), total_);
        QDialog::accept();
        return;
    }
    const auto [figure, format] = left_.back();
    const QString path = pathOf(figure, format);
    const auto stop = [this, &path](const Problem& problem) {
        left_.clear();
        form_->setEnabled(true);
        write_->setEnabled(true);
        tell(tr("%1 was not written: %2. %3")
                 .arg(QFileInfo(path).fileName(), shown(problem.what), shown(problem.remedy)),
             true);
    };
    const Result<QByteArray> bytes =
        renderFigure(figures_[figure], *results_->study, results_->findings, optionsFor(format));
    if (!bytes) {
        stop(bytes.problem());
        return;
    }
    const QByteArray& content = bytes.value();
    const Result<Done> done =
        writeAtomically(std::filesystem::path(path.toStdU16String()),
                        std::string_view(content.constData(), static_cast<std::size_t>(content.size())));
    if (!done) {
        stop(done.problem());
        return;
    }
    left_.pop_back();
    tell(tr("%1 of %2 written").arg(total_ - static_cast<int>(left_.size())).arg(total_), false);
    QTimer::singleShot(0, this, &ExportFiguresDialog::writeNext);
}

void ExportFiguresDialog::reject() {
    stopped_ = true;
    QDialog::reject();
}

}  // namespace aftercurve
