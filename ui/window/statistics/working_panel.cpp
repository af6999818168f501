#include "ui/window/statistics/working_panel.h"

#include <QClipboard>
#include <QGuiApplication>
#include <QHBoxLayout>
#include <QItemSelectionModel>
#include <QLabel>
#include <QPlainTextEdit>
#include <QPushButton>
#include <QVBoxLayout>
#include <algorithm>
#include <optional>

#include "core/findings/explain.h"
#include "ui/models/text.h"
#include "ui/window/pages/page.h"
#include "ui/window/result_view.h"

namespace aftercurve {

namespace {

/// The chosen column, or, where that holds words, the first one with a number in this row that is no count.
std::optional<std::size_t> numberColumn(const Table& table, std::size_t row, int chosen) {
    const auto column = static_cast<std::size_t>(std::max(0, chosen));
    if (table.columns[column].kind != ColumnKind::text) {
        return column;
    }
    for (std::size_t c = 0; c < table.columns.size(); ++c) {
        const ColumnKind kind = table.columns[c].kind;
        if ((kind == ColumnKind::number || kind == ColumnKind::pValue) && !table.columns[c].inputs.empty() &&
            !std::holds_alternative<std::monostate>(table.rows[row].cells[c])) {
            return c;
        }
    }
    return std::nullopt;
}

/// Whether a table holds no number at all.
bool isOfWords(const Table& table) {
    return std::all_of(table.columns.begin(), table.columns.end(),
                       [](const Column& column) { return column.kind == ColumnKind::text; });
}

}  // namespace

WorkingPanel::WorkingPanel(const QString& name, QWidget* parent)
    : QWidget(parent),
      words_(new QPlainTextEdit(this)),
      curves_(new QPushButton(tr("Show its curves"), this)),
      copy_(new QPushButton(tr("Copy"), this)) {
    const int em = fontMetrics().height();
    auto* column = new QVBoxLayout(this);
    column->setContentsMargins(0, em / 3, 0, 0);
    auto* head = new QHBoxLayout;
    head_ = heading(tr("How this number came about"), this);
    head->addWidget(head_);
    head->addStretch(1);
    head->addWidget(curves_);
    head->addWidget(copy_);
    column->addLayout(head);
    column->addWidget(words_, 1);
    words_->setObjectName(name + QStringLiteral(".working"));
    words_->setAccessibleName(tr("How the chosen number came about"));
    words_->setReadOnly(true);
    words_->setPlaceholderText(tr("Choose a number in the table."));
    copy_->setObjectName(name + QStringLiteral(".copyWorking"));
    copy_->setAccessibleName(tr("Copy how the number came about"));
    copy_->setEnabled(false);
    curves_->setObjectName(name + QStringLiteral(".showCurves"));
    curves_->setAccessibleName(tr("Show the curves that the number was made from"));
    curves_->setEnabled(false);
    connect(curves_, &QPushButton::clicked, this, [this] { Q_EMIT curvesWanted(about_); });
    connect(copy_, &QPushButton::clicked, this, [this] { QGuiApplication::clipboard()->setText(text()); });
}

QString WorkingPanel::text() const {
    return words_->toPlainText();
}

void WorkingPanel::follow(ResultView* view) {
    connect(view->selectionModel(), &QItemSelectionModel::currentChanged, this, [this, view] {
        followed_ = view;
        showCell(view);
    });
}

void WorkingPanel::showResults(std::shared_ptr<const Results> results) {
    results_ = std::move(results);
    if (followed_ != nullptr) {
        showCell(followed_);
    }
}

void WorkingPanel::showCell(const ResultView* view) {
    const auto results = results_;
    const int row = view->currentTableRow();
    const Table* table = view->table();
    const std::optional<std::size_t> column =
        results && table != nullptr && row >= 0 && static_cast<std::size_t>(row) < table->rows.size()
            ? numberColumn(*table, static_cast<std::size_t>(row), view->currentIndex().column())
            : std::nullopt;
    about_ = results && table != nullptr && row >= 0 && static_cast<std::size_t>(row) < table->rows.size()
                 ? table->rows[static_cast<std::size_t>(row)].about
                 : RowSubject{};
    curves_->setEnabled(!about_.analyte.empty());
    const bool chosen =
        results && table != nullptr && row >= 0 && static_cast<std::size_t>(row) < table->rows.size();
    const bool words = chosen && !column && isOfWords(*table);
    head_->setText(words ? tr("The row in full") : tr("How this number came about"));
    copy_->setEnabled(words || column);
    if (!column) {
        words_->setPlainText(words ? shown(rowInFull(*table, static_cast<std::size_t>(row))) : QString());
        return;
    }
    std::vector<std::shared_ptr<const Table>> kept;
    const std::string text =
        workingOf(*table, static_cast<std::size_t>(row), *column, [&](std::string_view key) {
            kept.push_back(results->table(key));
            return kept.back().get();
        });
    words_->setPlainText(shown(text));
}

}  // namespace aftercurve
