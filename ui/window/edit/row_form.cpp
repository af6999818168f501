#include "ui/window/edit/row_form.h"

#include <QComboBox>
#include <QFormLayout>
#include <QLabel>
#include <QLineEdit>
#include <QScrollArea>
#include <QVBoxLayout>
#include <algorithm>

#include "core/fibre/fibre_methods.h"
#include "ui/models/text.h"
#include "ui/window/edit/reason_dialog.h"
#include "ui/window/session.h"

namespace aftercurve {

namespace {

/// What a new row has from the row before it.
struct Continuation {
    std::vector<std::string_view> repeats;
    std::string_view counts;  ///< goes up by one; empty: nothing does
};

Continuation continuationOf(StudyTable table) {
    switch (table) {
        case StudyTable::assays:
            return {{"sample", "run", "replicate", "sample_mass_mg", "blank"}, {}};
        case StudyTable::fibre:
            return {{"material", "method", "fraction", "basis", "moisture_percent", "laboratory"},
                    "replicate"};
        case StudyTable::recipeParts:
            return {{"recipe"}, {}};
        case StudyTable::diaryItems:
            return {{"least", "most", "composite", "threshold"}, {}};
        case StudyTable::diary:
            return {{"subject", "food", "period", "dose_g"}, "day"};
        default:
            return {};
    }
}

QStringList idsOf(const auto& things) {
    QStringList ids;
    for (const auto& one : things) {
        ids << shown(one.id);
    }
    return ids;
}

/// Words that a cell may hold, to choose from; empty: any text.
QStringList choicesFor(const Study& study, StudyTable table, const std::string& column) {
    if (column == "subject") {
        return idsOf(study.subjects);
    }
    if (column == "food") {
        return idsOf(study.foods);
    }
    if (table == StudyTable::assays && column == "sample") {
        return idsOf(study.assays.samples);
    }
    if (column == "recipe") {
        return idsOf(study.fibre.recipes);
    }
    if (table == StudyTable::fibre && column == "method") {
        QStringList methods;
        for (const FibreMethod& method : fibreMethods()) {
            methods << shown(method.key);
        }
        return methods;
    }
    if (table == StudyTable::fibre && column == "fraction") {
        QStringList fractions;
        for (const std::string_view fraction : fibreFractions) {
            fractions << shown(fraction);
        }
        return fractions;
    }
    if (table == StudyTable::fibre && column == "basis") {
        return {QStringLiteral("as-is"), QStringLiteral("dry")};
    }
    if (table == StudyTable::events && column == "severity") {
        return {QStringLiteral("mild"), QStringLiteral("moderate"), QStringLiteral("severe")};
    }
    if (table == StudyTable::events && column == "related") {
        return {QStringLiteral("unlikely"), QStringLiteral("possible"), QStringLiteral("probable")};
    }
    const bool isYesNo = (table == StudyTable::assays && column == "blank") ||
                         (table == StudyTable::assaySamples && column == "reference") ||
                         (table == StudyTable::diaryItems && column == "composite") ||
                         (table == StudyTable::events && column == "serious");
    return isYesNo ? QStringList{QStringLiteral("no"), QStringLiteral("yes")} : QStringList{};
}

/// A part stands with its recipe, not at the end of the table.
std::size_t lastPartOf(const Study& study, const std::string& recipe) {
    std::size_t row = 0;
    for (const Recipe& one : study.fibre.recipes) {
        row += one.parts.size();
        if (one.id == recipe) {
            break;
        }
    }
    return row - 1;
}

}  // namespace

bool isAskedFor(StudyTable table) {
    switch (table) {
        case StudyTable::assaySamples:
        case StudyTable::assays:
        case StudyTable::fibre:
        case StudyTable::recipes:
        case StudyTable::recipeParts:
        case StudyTable::diaryItems:
        case StudyTable::diary:
        case StudyTable::events:
            return true;
        case StudyTable::samples:
        case StudyTable::visits:
        case StudyTable::subjects:
        case StudyTable::foods:
        case StudyTable::analytes:
            return false;
    }
    return false;
}

std::vector<std::string> proposedRow(const Study& study, StudyTable table, std::optional<std::size_t> like) {
    const Continuation continuation = continuationOf(table);
    const std::vector<TableColumn> columns = columnsOf(study, table);
    std::vector<std::string> cells(columns.size());
    for (std::size_t column = 0; like && column < columns.size(); ++column) {
        const std::string& name = columns[column].name;
        const auto& repeats = continuation.repeats;
        if (std::find(repeats.begin(), repeats.end(), name) != repeats.end()) {
            cells[column] = cellText(study, table, *like, column);
        } else if (name == continuation.counts) {
            const std::string before = cellText(study, table, *like, column);
            cells[column] = std::to_string(QString::fromStdString(before).toInt() + 1);
        }
    }
    return cells;
}

RowForm::RowForm(const Study& study, StudyTable table, const std::vector<std::string>& cells, QWidget* parent)
    : QWidget(parent) {
    const int em = fontMetrics().height();
    auto* column = new QVBoxLayout(this);
    column->setContentsMargins(0, 0, 0, 0);
    auto* scroll = new QScrollArea(this);
    scroll->setWidgetResizable(true);
    scroll->setFrameShape(QFrame::NoFrame);
    auto* fields = new QWidget(scroll);
    auto* form = new QFormLayout(fields);
    form->setFieldGrowthPolicy(QFormLayout::AllNonFixedFieldsGrow);
    const std::vector<TableColumn> columns = columnsOf(study, table);
    for (std::size_t i = 0; i < columns.size(); ++i) {
        const QString label = asSentence(shown(columns[i].label));
        const QStringList choices = choicesFor(study, table, columns[i].name);
        QWidget* field = nullptr;
        if (choices.isEmpty()) {
            auto* text = new QLineEdit(shown(cells[i]), fields);
            field = text;
            read_.emplace_back([text] { return text->text(); });
        } else {
            // Editable, as a study may use a word of its own.
            auto* box = new QComboBox(fields);
            box->setEditable(true);
            box->addItems(choices);
            box->setCurrentText(shown(cells[i]));
            field = box;
            read_.emplace_back([box] { return box->currentText(); });
        }
        field->setObjectName(QStringLiteral("row.") + shown(columns[i].name));
        field->setAccessibleName(label);
        form->addRow(columns[i].required ? tr("%1 *").arg(label) : label, field);
    }
    scroll->setWidget(fields);
    scroll->setMinimumHeight(std::min(fields->sizeHint().height() + 2, em * 26));
    scroll->setMinimumWidth(em * 30);
    column->addWidget(scroll, 1);
    column->addWidget(new QLabel(tr("* may not stay empty"), this));
}

std::vector<std::string> RowForm::cells() const {
    std::vector<std::string> cells;
    for (const auto& read : read_) {
        cells.push_back(plain(read().trimmed()));
    }
    return cells;
}

void askForRow(Session& session, StudyTable table, std::optional<std::size_t> like, QWidget* parent,
               std::function<void(std::size_t)> added) {
    const Study& study = *session.study();
    ReasonWords words;
    words.title = RowForm::tr("Add a row");
    words.reasonLabel = RowForm::tr("&Because");
    words.placeholder = RowForm::tr("e.g. entered from the laboratory's sheet");
    words.button = RowForm::tr("Add");
    words.sharesReason = true;
    auto* form = new RowForm(study, table, proposedRow(study, table, like), nullptr);
    const auto act = [&session, table, form, added = std::move(added)](const Authorship& author,
                                                                       const QString&) -> Result<Done> {
        const std::size_t row = rowCount(*session.study(), table);
        const Result<Done> done =
            session.changeAs({InsertRow{table, row, form->cells()}}, RowForm::tr("new row"), author);
        if (done) {
            added(table == StudyTable::recipeParts ? lastPartOf(*session.study(), form->cells().front())
                                                   : row);
        }
        return done;
    };
    auto* dialog = new ReasonDialog(session, QStringLiteral("row"), words, act, parent);
    dialog->addForm(form);
    dialog->open();
}

}  // namespace aftercurve
