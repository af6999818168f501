#include <QComboBox>
#include <QFormLayout>
#include <QLabel>
#include <QLineEdit>
#include <QLocale>
#include <QSpinBox>

#include "core/base/number_text.h"
#include "core/study/units.h"
#include "ui/models/text.h"
#include "ui/takein/mapping_forms.h"

namespace aftercurve {

namespace {

struct RoleText {
    ColumnRole role;
    const char* name;
};

constexpr RoleText roles[] = {
    {ColumnRole::ignore, QT_TRANSLATE_NOOP("ColumnForm", "not used")},
    {ColumnRole::subject, QT_TRANSLATE_NOOP("ColumnForm", "subject")},
    {ColumnRole::food, QT_TRANSLATE_NOOP("ColumnForm", "food")},
    {ColumnRole::visit, QT_TRANSLATE_NOOP("ColumnForm", "visit")},
    {ColumnRole::period, QT_TRANSLATE_NOOP("ColumnForm", "period")},
    {ColumnRole::date, QT_TRANSLATE_NOOP("ColumnForm", "date")},
    {ColumnRole::time, QT_TRANSLATE_NOOP("ColumnForm", "time in minutes, as drawn")},
    {ColumnRole::nominalTime, QT_TRANSLATE_NOOP("ColumnForm", "time in minutes, as planned")},
    {ColumnRole::clockTime, QT_TRANSLATE_NOOP("ColumnForm", "time of day of the draw")},
    {ColumnRole::mealStart, QT_TRANSLATE_NOOP("ColumnForm", "time of day of the first bite")},
    {ColumnRole::replicate, QT_TRANSLATE_NOOP("ColumnForm", "number of the determination")},
    {ColumnRole::dilution, QT_TRANSLATE_NOOP("ColumnForm", "dilution")},
    {ColumnRole::remark, QT_TRANSLATE_NOOP("ColumnForm", "remark")},
    {ColumnRole::analyte, QT_TRANSLATE_NOOP("ColumnForm", "values of")},
    {ColumnRole::sequence, QT_TRANSLATE_NOOP("ColumnForm", "sequence")},
    {ColumnRole::sex, QT_TRANSLATE_NOOP("ColumnForm", "sex")},
    {ColumnRole::age, QT_TRANSLATE_NOOP("ColumnForm", "age in years")},
    {ColumnRole::bmi, QT_TRANSLATE_NOOP("ColumnForm", "BMI in kg/m²")}};

QString nameOf(ColumnRole role) {
    for (const RoleText& one : roles) {
        if (one.role == role) {
            return ColumnForm::tr(one.name);
        }
    }
    return {};
}

}  // namespace

QString roleText(const TableMapping& table, const ColumnMapping& column) {
    if (column.role == ColumnRole::ignore) {
        return {};
    }
    if (column.role != ColumnRole::analyte) {
        return nameOf(column.role);
    }
    const std::string analyte = analyteOf(table, column);
    QString text = analyte.empty() ? ColumnForm::tr("values") : shown(analyte);
    if (column.timeMin) {
        text += ColumnForm::tr(" at %1 min").arg(shown(plainNumber(*column.timeMin)));
    }
    const std::string& unit = column.unit.empty() ? table.unit : column.unit;
    return unit.empty() ? text : text + QStringLiteral(", ") + shown(unit);
}

ColumnForm::ColumnForm(TakeInSession& session, QWidget* parent)
    : QWidget(parent), session_(session), form_(new QFormLayout(this)), about_(new QLabel(this)) {
    form_->setContentsMargins(0, fontMetrics().height() / 2, fontMetrics().height() / 2, 0);
    form_->setFieldGrowthPolicy(QFormLayout::AllNonFixedFieldsGrow);
    about_->setWordWrap(true);
    about_->setTextFormat(Qt::PlainText);
    about_->setText(tr("Click a column of the table to say what it holds."));
    form_->addRow(about_);
    const auto add = [this](auto* widget, const QString& label, const char* name) {
        widget->setObjectName(QLatin1String(name));
        widget->setAccessibleName(QString(label).remove(u'&'));
        form_->addRow(label, widget);
        return widget;
    };
    role_ = add(new QComboBox(this), tr("&Holds"), "takeIn.role");
    for (const RoleText& one : roles) {
        role_->addItem(tr(one.name), static_cast<int>(one.role));
    }
    analyte_ = add(new QComboBox(this), tr("&Analyte"), "takeIn.columnAnalyte");
    analyte_->setEditable(true);
    analyte_->addItems({QString(), QStringLiteral("glucose"), QStringLiteral("insulin"),
                        QStringLiteral("c-peptide"), QStringLiteral("triglycerides")});
    unit_ = add(new QComboBox(this), tr("&Unit"), "takeIn.columnUnit");
    unit_->setEditable(true);
    time_ = add(new QLineEdit(this), tr("&Time (min)"), "takeIn.columnTime");
    subject_ = add(new QLineEdit(this), tr("&Subject"), "takeIn.columnSubject");
    subject_->setPlaceholderText(tr("as the header says"));
    food_ = add(new QLineEdit(this), tr("&Food"), "takeIn.columnFood");
    food_->setPlaceholderText(tr("as the table says"));
    replicate_ = add(new QSpinBox(this), tr("&Determination"), "takeIn.columnReplicate");
    replicate_->setRange(0, 99);
    replicate_->setSpecialValueText(tr("the only one"));
    for (QComboBox* box : {role_, analyte_, unit_}) {
        connect(box, &QComboBox::activated, this, &ColumnForm::read);
    }
    for (QComboBox* box : {analyte_, unit_}) {
        connect(box->lineEdit(), &QLineEdit::editingFinished, this, &ColumnForm::read);
    }
    for (QLineEdit* edit : {time_, subject_, food_}) {
        connect(edit, &QLineEdit::editingFinished, this, &ColumnForm::read);
    }
    connect(replicate_, &QSpinBox::valueChanged, this, &ColumnForm::read);
    connect(&session_, &TakeInSession::mappingChanged, this, &ColumnForm::fill);
    showColumn(std::nullopt, 0, {});
}

void ColumnForm::showColumn(std::optional<std::size_t> table, std::size_t column, const QString& header) {
    table_ = table;
    column_ = column;
    header_ = header;
    fill();
}

ColumnMapping* ColumnForm::mapped(Mapping& mapping) const {
    const auto entry = table_ ? session_.entryOf(*table_) : std::nullopt;
    if (!entry) {
        return nullptr;
    }
    for (ColumnMapping& one : mapping.tables[*entry].columns) {
        if (one.column == column_ + 1 && (one.header.empty() || one.header == plain(header_))) {
            return &one;
        }
    }
    return nullptr;
}

void ColumnForm::fill() {
    const auto entry =
        table_ && *table_ < session_.tables().size() ? session_.entryOf(*table_) : std::nullopt;
    for (QWidget* widget :
         std::initializer_list<QWidget*>{role_, analyte_, unit_, time_, subject_, food_, replicate_}) {
        widget->setEnabled(entry.has_value());
    }
    if (!entry) {
        about_->setText(tr("Click a column of the table to say what it holds."));
        for (QWidget* widget :
             std::initializer_list<QWidget*>{role_, analyte_, unit_, time_, subject_, food_, replicate_}) {
            form_->setRowVisible(widget, false);
        }
        return;
    }
    filling_ = true;
    about_->setText(header_.isEmpty() ? tr("Column %1").arg(column_ + 1)
                                      : tr("Column %1, “%2”").arg(column_ + 1).arg(header_));
    Mapping mapping = session_.mapping();
    const ColumnMapping* found = mapped(mapping);
    const ColumnMapping how = found == nullptr ? ColumnMapping{} : *found;
    role_->setCurrentIndex(std::max(0, role_->findData(static_cast<int>(how.role))));
    analyte_->setCurrentText(shown(how.analyte));
    const std::string analyte = analyteOf(mapping.tables[*entry], how);
    unit_->clear();
    unit_->addItem({});
    for (const Unit& unit : unitTable()) {
        if (unit.analyte == analyte) {
            unit_->addItem(shown(unit.unit));
        }
    }
    if (how.role == ColumnRole::time || how.role == ColumnRole::nominalTime) {
        unit_->addItems({QStringLiteral("min"), QStringLiteral("h")});
    }
    unit_->setCurrentText(shown(how.unit));
    time_->setText(how.timeMin ? shown(plainNumber(*how.timeMin)) : QString());
    subject_->setText(shown(how.subject));
    food_->setText(shown(how.food));
    replicate_->setValue(how.replicate);
    filling_ = false;
    showParts();
}

void ColumnForm::showParts() {
    const auto entry = session_.entryOf(*table_);
    const Layout layout = session_.mapping().tables[*entry].layout;
    const auto role = static_cast<ColumnRole>(role_->currentData().toInt());
    const bool values = role == ColumnRole::analyte;
    form_->setRowVisible(role_, true);
    form_->setRowVisible(analyte_, values || role == ColumnRole::dilution);
    form_->setRowVisible(unit_, values || role == ColumnRole::time || role == ColumnRole::nominalTime);
    form_->setRowVisible(time_, values && layout == Layout::wideByTime);
    form_->setRowVisible(subject_, values && layout == Layout::wideBySubject);
    form_->setRowVisible(food_, values && layout == Layout::wideBySubject);
    form_->setRowVisible(replicate_, values);
}

void ColumnForm::read() {
    const auto entry = table_ ? session_.entryOf(*table_) : std::nullopt;
    if (filling_ || !entry) {
        return;
    }
    Mapping mapping = session_.mapping();
    ColumnMapping* how = mapped(mapping);
    if (how == nullptr) {
        ColumnMapping added;
        added.column = column_ + 1;
        added.header = plain(header_);
        mapping.tables[*entry].columns.push_back(added);
        how = &mapping.tables[*entry].columns.back();
    }
    how->role = static_cast<ColumnRole>(role_->currentData().toInt());
    const bool values = how->role == ColumnRole::analyte;
    const bool aboutAnalyte = values || how->role == ColumnRole::dilution;
    how->analyte = aboutAnalyte ? plain(analyte_->currentText().trimmed()) : std::string{};
    how->unit = plain(unit_->currentText().trimmed());
    bool isNumber = false;
    const double minutes = QLocale::c().toDouble(time_->text().trimmed().replace(u',', u'.'), &isNumber);
    how->timeMin = values && isNumber ? std::optional(minutes) : std::nullopt;
    how->subject = values ? plain(subject_->text().trimmed()) : std::string{};
    how->food = values ? plain(food_->text().trimmed()) : std::string{};
    how->replicate = values ? replicate_->value() : 0;
    if (!values && how->role != ColumnRole::time && how->role != ColumnRole::nominalTime) {
        how->unit.clear();
    }
    // A value's analyte has to be on the list of the study.
    if (values && !how->analyte.empty()) {
        const auto known = std::find_if(mapping.analytes.begin(), mapping.analytes.end(),
                                        [&](const AnalyteMapping& one) { return one.id == how->analyte; });
        if (known == mapping.analytes.end()) {
            AnalyteMapping added;
            added.id = how->analyte;
            added.unit = how->unit;
            mapping.analytes.push_back(std::move(added));
        }
    }
    session_.setMapping(mapping);
}

}  // namespace aftercurve
