#include "ui/window/export_figure_dialog.h"

#include <QCheckBox>
#include <QComboBox>
#include <QDialogButtonBox>
#include <QDir>
#include <QFileInfo>
#include <QFormLayout>
#include <QHBoxLayout>
#include <QLabel>
#include <QLineEdit>
#include <QPushButton>
#include <QVBoxLayout>
#include <array>
#include <cmath>
#include <filesystem>

#include "core/files/atomic_write.h"
#include "ui/models/look.h"
#include "ui/models/text.h"
#include "ui/window/word_controls.h"

namespace aftercurve {

namespace {

struct FormatWord {
    FigureFormat format;
    const char* suffix;
    const char* text;
};

constexpr std::array formats{
    FormatWord{FigureFormat::svg, "svg",
               QT_TRANSLATE_NOOP("aftercurve::ExportFigureDialog", "SVG, vectors for editing")},
    FormatWord{FigureFormat::pdf, "pdf",
               QT_TRANSLATE_NOOP("aftercurve::ExportFigureDialog", "PDF, vectors for print")},
    FormatWord{FigureFormat::png, "png", QT_TRANSLATE_NOOP("aftercurve::ExportFigureDialog", "PNG, pixels")},
    FormatWord{FigureFormat::tiff, "tiff",
               QT_TRANSLATE_NOOP("aftercurve::ExportFigureDialog", "TIFF, pixels for print")}};

constexpr std::array presetWidthsMm{85.0, 130.0, 175.0};
constexpr double mmPerInch = 25.4;

QString key(const char* name) {
    return QStringLiteral("exportFigure/") + QLatin1String(name);
}

}  // namespace

ExportFigureDialog::ExportFigureDialog(const FigureKind& kind, const FigureChoice& choice,
                                       std::shared_ptr<const Results> results, QSettings& settings,
                                       AskFile askFile, QWidget* parent)
    : QDialog(parent),
      kind_(kind),
      choice_(choice),
      results_(std::move(results)),
      settings_(settings),
      askFile_(std::move(askFile)),
      format_(new QComboBox(this)),
      preset_(new QComboBox(this)),
      width_(new NumberBox(this)),
      height_(new NumberBox(this)),
      font_(new NumberBox(this)),
      dpi_(new NumberBox(this)),
      grey_(new QCheckBox(tr("Shades of &grey only"), this)),
      path_(new QLineEdit(this)),
      outcome_(new QLabel(this)),
      buttons_(new QDialogButtonBox(QDialogButtonBox::Cancel, this)) {
    setObjectName(QStringLiteral("exportFigure"));
    setWindowTitle(tr("Export figure: %1").arg(shown(kind_.title)));
    setAttribute(Qt::WA_DeleteOnClose);
    build();
    restore();
    update();
}

void ExportFigureDialog::build() {
    auto* column = new QVBoxLayout(this);
    auto* form = new QFormLayout;
    const auto add = [&](const QString& label, QWidget* input, const char* name) {
        auto* text = new QLabel(label, this);
        text->setBuddy(input);
        input->setObjectName(QStringLiteral("exportFigure.") + QLatin1String(name));
        input->setAccessibleName(QString(label).remove(u'&'));
        form->addRow(text, input);
    };
    for (const FormatWord& format : formats) {
        format_->addItem(tr(format.text), QLatin1String(format.suffix));
    }
    preset_->addItem(tr("single column, 85 mm"), presetWidthsMm[0]);
    preset_->addItem(tr("one and a half columns, 130 mm"), presetWidthsMm[1]);
    preset_->addItem(tr("double column, 175 mm"), presetWidthsMm[2]);
    preset_->addItem(tr("free"), 0.0);
    width_->setSuffix(tr(" mm"));
    height_->setSuffix(tr(" mm"));
    font_->setSuffix(tr(" pt"));
    dpi_->setSuffix(tr(" dpi"));
    for (NumberBox* box : {width_, height_, font_, dpi_}) {
        box->setDecimals(2);
        box->setRange(0, 99999);
    }
    add(tr("&Format"), format_, "format");
    add(tr("&Column"), preset_, "preset");
    add(tr("&Width"), width_, "width");
    add(tr("&Height"), height_, "height");
    add(tr("&Text"), font_, "font");
    add(tr("&Resolution"), dpi_, "dpi");
    grey_->setObjectName(QStringLiteral("exportFigure.grey"));
    grey_->setAccessibleName(tr("Shades of grey only"));
    form->addRow(QString(), grey_);

    auto* fileRow = new QWidget(this);
    auto* row = new QHBoxLayout(fileRow);
    row->setContentsMargins(0, 0, 0, 0);
    path_->setMinimumWidth(fontMetrics().height() * 24);
    path_->setObjectName(QStringLiteral("exportFigure.path"));
    path_->setAccessibleName(tr("File to write"));
    auto* browse = new QPushButton(tr("Choose…"), fileRow);
    browse->setObjectName(QStringLiteral("exportFigure.browse"));
    browse->setAccessibleName(tr("Choose the file to write"));
    browse->setAutoDefault(false);
    row->addWidget(path_, 1);
    row->addWidget(browse);
    auto* fileLabel = new QLabel(tr("F&ile"), this);
    fileLabel->setBuddy(path_);
    form->addRow(fileLabel, fileRow);
    column->addLayout(form);
    outcome_->setObjectName(QStringLiteral("exportFigure.outcome"));
    outcome_->setWordWrap(true);
    outcome_->setTextFormat(Qt::PlainText);
    outcome_->setMinimumHeight(fontMetrics().height() * 3);
    outcome_->setAlignment(Qt::AlignLeft | Qt::AlignTop);
    column->addWidget(outcome_);
    QPushButton* write = buttons_->addButton(tr("Write file"), QDialogButtonBox::AcceptRole);
    write->setObjectName(QStringLiteral("exportFigure.write"));
    write->setDefault(true);
    column->addWidget(buttons_);

    connect(buttons_, &QDialogButtonBox::accepted, this, &ExportFigureDialog::accept);
    connect(buttons_, &QDialogButtonBox::rejected, this, &QDialog::reject);
    connect(browse, &QPushButton::clicked, this, &ExportFigureDialog::browse);
    connect(preset_, &QComboBox::currentIndexChanged, this, [this] {
        const double wanted = preset_->currentData().toDouble();
        width_->setEnabled(wanted == 0.0);
        if (wanted > 0.0) {
            width_->setValue(wanted);
        }
        update();
    });
    connect(format_, &QComboBox::currentIndexChanged, this, [this] {
        const QFileInfo file(path_->text());
        for (const FormatWord& format : formats) {
            if (file.suffix().compare(QLatin1String(format.suffix), Qt::CaseInsensitive) == 0) {
                path_->setText(QDir(file.path()).filePath(file.completeBaseName() + u'.' + suffix()));
                break;
            }
        }
        update();
    });
    for (NumberBox* box : {width_, height_, font_, dpi_}) {
        connect(box, &QDoubleSpinBox::valueChanged, this, &ExportFigureDialog::update);
    }
    connect(path_, &QLineEdit::textChanged, this, &ExportFigureDialog::update);
}

void ExportFigureDialog::restore() {
    const FigureStyle usual;
    format_->setCurrentIndex(
        std::max(0, format_->findData(settings_.value(key("format"), QStringLiteral("svg")))));
    width_->setValue(settings_.value(key("width"), usual.widthMm).toDouble());
    height_->setValue(settings_.value(key("height"), usual.heightMm).toDouble());
    font_->setValue(settings_.value(key("font"), usual.fontPt).toDouble());
    dpi_->setValue(settings_.value(key("dpi"), FigureExportOptions{}.dpi).toDouble());
    grey_->setChecked(settings_.value(key("grey"), false).toBool());
    int preset = static_cast<int>(presetWidthsMm.size());
    for (std::size_t i = 0; i < presetWidthsMm.size(); ++i) {
        if (presetWidthsMm[i] == width_->value()) {
            preset = static_cast<int>(i);
        }
    }
    preset_->setCurrentIndex(preset);
    width_->setEnabled(preset == static_cast<int>(presetWidthsMm.size()));
    const QString folder = settings_.value(QStringLiteral("lastExportFolder"), QDir::homePath()).toString();
    path_->setText(QDir(folder).filePath(shown(kind_.key) + u'.' + suffix()));
}

QString ExportFigureDialog::suffix() const {
    return format_->currentData().toString();
}

FigureStyle ExportFigureDialog::style() const {
    FigureStyle style;
    style.widthMm = width_->value();
    style.heightMm = height_->value();
    style.fontPt = font_->value();
    style.grey = grey_->isChecked();
    return style;
}

FigureExportOptions ExportFigureDialog::options() const {
    FigureExportOptions options;
    options.format = formats[static_cast<std::size_t>(format_->currentIndex())].format;
    options.dpi = static_cast<int>(std::lround(dpi_->value()));
    return options;
}

void ExportFigureDialog::browse() {
    const QString chosen =
        askFile_(this, path_->text(), tr("%1 file (*.%2)").arg(suffix().toUpper(), suffix()));
    if (!chosen.isEmpty()) {
        path_->setText(chosen);
    }
}

void ExportFigureDialog::update() {
    dpi_->setEnabled(hasPixels(options().format));
    QStringList wrong;
    for (const Problem& problem : validate(style(), options())) {
        wrong << shown(problem.what);
    }
    if (path_->text().trimmed().isEmpty()) {
        wrong << tr("Name a file to write");
    }
    QPalette palette = outcome_->palette();
    palette.setColor(QPalette::WindowText, wrong.isEmpty() ? this->palette().color(QPalette::WindowText)
                                                           : windowLook(this->palette()).error);
    outcome_->setPalette(palette);
    if (!wrong.isEmpty()) {
        outcome_->setText(wrong.join(u'\n'));
    } else if (hasPixels(options().format)) {
        const auto count = [&](double mm) { return std::lround(mm / mmPerInch * options().dpi); };
        outcome_->setText(tr("%1 × %2 pixels, printed at %3 × %4 mm")
                              .arg(count(width_->value()))
                              .arg(count(height_->value()))
                              .arg(width_->value())
                              .arg(height_->value()));
    } else {
        outcome_->setText(tr("%1 × %2 mm, sharp at any size").arg(width_->value()).arg(height_->value()));
    }
    findChild<QPushButton*>(QStringLiteral("exportFigure.write"))->setEnabled(wrong.isEmpty());
}

void ExportFigureDialog::accept() {
    const QString path = path_->text().trimmed();
    const auto fail = [this](const Problem& problem) {
        QPalette palette = outcome_->palette();
        palette.setColor(QPalette::WindowText, windowLook(this->palette()).error);
        outcome_->setPalette(palette);
        outcome_->setText(tr("Not written: %1. %2").arg(shown(problem.what), shown(problem.remedy)));
    };
    const Result<QByteArray> bytes =
        renderFigure(kind_, *results_->study, results_->findings, choice_, style(), options());
    if (!bytes) {
        fail(bytes.problem());
        return;
    }
    const QByteArray& content = bytes.value();
    const Result<Done> done =
        writeAtomically(std::filesystem::path(path.toStdU16String()),
                        std::string_view(content.constData(), static_cast<std::size_t>(content.size())));
    if (!done) {
        fail(done.problem());
        return;
    }
    settings_.setValue(key("format"), suffix());
    settings_.setValue(key("width"), width_->value());
    settings_.setValue(key("height"), height_->value());
    settings_.setValue(key("font"), font_->value());
    settings_.setValue(key("dpi"), dpi_->value());
    settings_.setValue(key("grey"), grey_->isChecked());
    settings_.setValue(QStringLiteral("lastExportFolder"), QFileInfo(path).absolutePath());
    Q_EMIT written(path);
    QDialog::accept();
}

}  // namespace aftercurve
