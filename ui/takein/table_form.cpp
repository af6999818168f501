#include <QCheckBox>
#include <QComboBox>
#include <QFormLayout>
#include <QLabel>
#include <QLineEdit>
#include <QSpinBox>

#include "ui/models/text.h"
#include "ui/takein/mapping_forms.h"

namespace aftercurve {

namespace {

struct Delimiter {
    char mark;
    const char* name;
};

constexpr Delimiter delimiters[] = {{',', QT_TRANSLATE_NOOP("TableForm", "comma")},
                                    {';', QT_TRANSLATE_NOOP("TableForm", "semicolon")},
                                    {'\t', QT_TRANSLATE_NOOP("TableForm", "tab")},
                                    {'|', QT_TRANSLATE_NOOP("TableForm", "vertical bar")}};

const std::vector<std::pair<const char*, const char*>> encodings{
    {"utf-8", "UTF-8"}, {"utf-16le", "UTF-16"}, {"utf-16be", "UTF-16, big endian"}, {"latin-1", "Latin-1"}};

void fillOrigins(QComboBox& box, bool workbook) {
    box.addItem(TableForm::tr("a column"), static_cast<int>(Origin::column));
    if (workbook) {
        box.addItem(TableForm::tr("the sheet's name"), static_cast<int>(Origin::sheet));
    }
    box.addItem(TableForm::tr("the file's name"), static_cast<int>(Origin::file));
    box.addItem(TableForm::tr("the same for all rows:"), static_cast<int>(Origin::fixed));
}

void choose(QComboBox& box, int data) {
    box.setCurrentIndex(std::max(0, box.findData(data)));
}

}  // namespace

TableForm::TableForm(TakeInSession& session, QWidget* parent)
    : QWidget(parent), session_(session), form_(new QFormLayout(this)) {
    form_->setContentsMargins(0, fontMetrics().height() / 2, fontMetrics().height() / 2, 0);
    form_->setFieldGrowthPolicy(QFormLayout::AllNonFixedFieldsGrow);
    const auto add = [this](auto* widget, const QString& label, const char* name) {
        widget->setObjectName(QLatin1String(name));
        widget->setAccessibleName(QString(label).remove(u'&'));
        form_->addRow(label, widget);
        return widget;
    };
    layout_ = add(new QComboBox(this), tr("&Layout"), "takeIn.layout");
    layout_->addItem(tr("one row a draw"), static_cast<int>(Layout::longRows));
    layout_->addItem(tr("one row a visit, a column a time"), static_cast<int>(Layout::wideByTime));
    layout_->addItem(tr("one row a time, a column a subject"), static_cast<int>(Layout::wideBySubject));
    layout_->addItem(tr("dates and meal starts of visits"), static_cast<int>(Layout::visits));
    layout_->addItem(tr("facts about the subjects"), static_cast<int>(Layout::subjects));
    encoding_ = add(new QComboBox(this), tr("&Encoding"), "takeIn.encoding");
    for (const auto& [word, name] : encodings) {
        encoding_->addItem(QLatin1String(name), QLatin1String(word));
    }
    delimiter_ = add(new QComboBox(this), tr("&Cells end at"), "takeIn.delimiter");
    for (const Delimiter& one : delimiters) {
        delimiter_->addItem(tr(one.name), static_cast<int>(one.mark));
    }
    decimal_ = add(new QComboBox(this), tr("&Decimal mark"), "takeIn.decimal");
    decimal_->addItem(tr("point"), static_cast<int>('.'));
    decimal_->addItem(tr("comma"), static_cast<int>(','));
    const auto row = [&](const QString& label, const char* name, const QString& zero) {
        auto* box = add(new QSpinBox(this), label, name);
        box->setRange(0, 1'000'000);
        box->setSpecialValueText(zero);
        box->setKeyboardTracking(false);
        return box;
    };
    headerRow_ = row(tr("&Header in row"), "takeIn.headerRow", tr("none"));
    headerRows_ = add(new QComboBox(this), tr("Header &is"), "takeIn.headerRows");
    headerRows_->addItem(tr("one row"), 1);
    headerRows_->addItem(tr("two rows, ending there"), 2);
    firstRow_ = row(tr("Data &from row"), "takeIn.firstRow", tr("1"));
    lastRow_ = row(tr("Data &to row"), "takeIn.lastRow", tr("the end"));
    subjectFrom_ = add(new QComboBox(this), tr("&Subject is in"), "takeIn.subjectFrom");
    subject_ = add(new QLineEdit(this), tr("code"), "takeIn.subject");
    foodFrom_ = add(new QComboBox(this), tr("F&ood is in"), "takeIn.foodFrom");
    food_ = add(new QLineEdit(this), tr("food"), "takeIn.food");
    visitFrom_ = add(new QComboBox(this), tr("&Visit is in"), "takeIn.visitFrom");
    visit_ = add(new QSpinBox(this), tr("number"), "takeIn.visit");
    visit_->setRange(1, 1000);
    analyte_ = add(new QLineEdit(this), tr("&Analyte of all values"), "takeIn.analyte");
    analyte_->setPlaceholderText(tr("as the columns say"));
    unit_ = add(new QLineEdit(this), tr("&Unit of all values"), "takeIn.unit");
    unit_->setPlaceholderText(tr("as the columns say"));
    fillDown_ = new QCheckBox(tr("Empty cells repeat the &row above"), this);
    fillDown_->setObjectName(QStringLiteral("takeIn.fillDown"));
    form_->addRow(fillDown_);
    for (QComboBox* box :
         {layout_, encoding_, delimiter_, decimal_, headerRows_, subjectFrom_, foodFrom_, visitFrom_}) {
        connect(box, &QComboBox::activated, this, &TableForm::read);
    }
    for (QSpinBox* box : {headerRow_, firstRow_, lastRow_, visit_}) {
        connect(box, &QSpinBox::valueChanged, this, &TableForm::read);
    }
    for (QLineEdit* edit : {subject_, food_, analyte_, unit_}) {
        connect(edit, &QLineEdit::editingFinished, this, &TableForm::read);
    }
    connect(fillDown_, &QCheckBox::toggled, this, &TableForm::read);
    connect(&session_, &TakeInSession::mappingChanged, this, &TableForm::fill);
    for (QComboBox* box : findChildren<QComboBox*>()) {
        box->setSizeAdjustPolicy(QComboBox::AdjustToMinimumContentsLengthWithIcon);
        box->setMinimumContentsLength(10);
    }
    setEnabled(false);
}

void TableForm::showTable(std::optional<std::size_t> table) {
    table_ = table;
    fill();
}

void TableForm::fill() {
    const bool some = table_ && *table_ < session_.tables().size() && session_.entryOf(*table_);
    setEnabled(some);
    if (!some) {
        return;
    }
    filling_ = true;
    const InputTable& input = session_.tables()[*table_];
    const TableMapping& how = session_.mapping().tables[*session_.entryOf(*table_)];
    for (QComboBox* box : {subjectFrom_, foodFrom_, visitFrom_}) {
        box->clear();
        fillOrigins(*box, input.workbook);
    }
    choose(*layout_, static_cast<int>(how.layout));
    encoding_->setCurrentIndex(std::max(0, encoding_->findData(shown(how.dialect.encoding))));
    choose(*delimiter_, static_cast<int>(how.dialect.delimiter));
    choose(*decimal_, static_cast<int>(how.dialect.decimalMark));
    headerRow_->setValue(static_cast<int>(how.headerRow));
    choose(*headerRows_, static_cast<int>(how.headerRows));
    firstRow_->setValue(static_cast<int>(how.firstRow));
    lastRow_->setValue(static_cast<int>(how.lastRow));
    choose(*subjectFrom_, static_cast<int>(how.subjectFrom));
    subject_->setText(shown(how.subject));
    choose(*foodFrom_, static_cast<int>(how.foodFrom));
    food_->setText(shown(how.food));
    choose(*visitFrom_, static_cast<int>(how.visitFrom));
    visit_->setValue(how.visit);
    analyte_->setText(shown(how.analyte));
    unit_->setText(shown(how.unit));
    fillDown_->setChecked(how.fillDown);
    filling_ = false;
    showParts();
}

void TableForm::showParts() {
    const bool workbook = session_.tables()[*table_].workbook;
    const auto originOf = [](const QComboBox& box) { return static_cast<Origin>(box.currentData().toInt()); };
    const auto layout = static_cast<Layout>(layout_->currentData().toInt());
    const bool values = layout != Layout::visits && layout != Layout::subjects;
    form_->setRowVisible(encoding_, !workbook);
    form_->setRowVisible(delimiter_, !workbook);
    form_->setRowVisible(subjectFrom_, layout != Layout::wideBySubject);
    form_->setRowVisible(subject_,
                         layout != Layout::wideBySubject && originOf(*subjectFrom_) == Origin::fixed);
    form_->setRowVisible(foodFrom_, layout != Layout::subjects);
    form_->setRowVisible(food_, layout != Layout::subjects && originOf(*foodFrom_) == Origin::fixed);
    form_->setRowVisible(visitFrom_, layout != Layout::subjects);
    form_->setRowVisible(visit_, layout != Layout::subjects && originOf(*visitFrom_) == Origin::fixed);
    form_->setRowVisible(analyte_, values);
    form_->setRowVisible(unit_, values);
}

void TableForm::read() {
    if (filling_ || !table_ || !session_.entryOf(*table_)) {
        return;
    }
    Mapping mapping = session_.mapping();
    TableMapping& how = mapping.tables[*session_.entryOf(*table_)];
    const auto originOf = [](const QComboBox& box) { return static_cast<Origin>(box.currentData().toInt()); };
    how.layout = static_cast<Layout>(layout_->currentData().toInt());
    how.dialect.encoding = plain(encoding_->currentData().toString());
    how.dialect.delimiter = static_cast<char>(delimiter_->currentData().toInt());
    how.dialect.decimalMark = static_cast<char>(decimal_->currentData().toInt());
    how.headerRow = static_cast<std::size_t>(headerRow_->value());
    how.headerRows = static_cast<std::size_t>(headerRows_->currentData().toInt());
    how.firstRow = static_cast<std::size_t>(std::max(1, firstRow_->value()));
    how.lastRow = static_cast<std::size_t>(lastRow_->value());
    how.subjectFrom = originOf(*subjectFrom_);
    how.subject = plain(subject_->text().trimmed());
    how.foodFrom = originOf(*foodFrom_);
    how.food = plain(food_->text().trimmed());
    how.visitFrom = originOf(*visitFrom_);
    how.visit = visit_->value();
    how.analyte = plain(analyte_->text().trimmed());
    how.unit = plain(unit_->text().trimmed());
    how.fillDown = fillDown_->isChecked();
    showParts();
    session_.setMapping(mapping);
}

}  // namespace aftercurve
