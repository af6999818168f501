#include "ui/window/pages/history_page.h"

#include <QHBoxLayout>
#include <QHeaderView>
#include <QLabel>
#include <QLineEdit>
#include <QPushButton>
#include <QSortFilterProxyModel>
#include <QTableView>
#include <QVBoxLayout>
#include <filesystem>

#include "ui/models/text.h"
#include "ui/window/edit/journal.h"
#include "ui/window/result_view.h"

namespace aftercurve {

HistoryPage::HistoryPage(Session& session, QWidget* parent)
    : Page(session, parent),
      model_(new HistoryModel(this)),
      filter_(new QSortFilterProxyModel(this)),
      view_(new QTableView(this)),
      about_(new QLabel(this)),
      all_(new QPushButton(tr("Show the whole &study"), this)) {
    const int em = fontMetrics().height();
    QVBoxLayout* column = pageColumn(this);
    QHBoxLayout* row = controlRow(this);
    auto* search = new QLineEdit(this);
    search->setObjectName(QStringLiteral("history.filter"));
    search->setAccessibleName(tr("Show only entries with this text"));
    search->setPlaceholderText(tr("any text"));
    search->setClearButtonEnabled(true);
    search->setMaximumWidth(em * 14);
    auto* label = new QLabel(tr("Show &only"), this);
    label->setBuddy(search);
    row->addWidget(label);
    row->addWidget(search);
    all_->setObjectName(QStringLiteral("history.all"));
    row->addWidget(all_);
    row->addStretch(1);
    column->addLayout(row);
    about_->setObjectName(QStringLiteral("history.about"));
    about_->setWordWrap(true);
    about_->setTextFormat(Qt::PlainText);
    column->addWidget(about_);
    filter_->setSourceModel(model_);
    filter_->setFilterKeyColumn(-1);
    filter_->setFilterCaseSensitivity(Qt::CaseInsensitive);
    setTableManners(*view_);
    view_->setObjectName(QStringLiteral("history.view"));
    view_->setAccessibleName(tr("Changes of the study"));
    view_->setModel(filter_);
    view_->setWordWrap(true);
    view_->horizontalHeader()->setSectionResizeMode(HistoryModel::whyColumn, QHeaderView::Stretch);
    column->addWidget(view_, 1);
    column->addStretch(0);
    connect(search, &QLineEdit::textChanged, filter_, &QSortFilterProxyModel::setFilterFixedString);
    connect(all_, &QPushButton::clicked, this, [this] {
        place_.reset();
        showEntries();
    });
    connect(&session_, &Session::studyOpened, this, [this] {
        place_.reset();
        readLedgerFile();
    });
    connect(&session_, &Session::saved, this, &HistoryPage::readLedgerFile);
    connect(&session_, &Session::studyEdited, this, &HistoryPage::showEntries);
    connect(&session_, &Session::figuresRested, this, &HistoryPage::showEntries);
    connect(&session_, &Session::planChanged, this, &HistoryPage::showEntries);
}

void HistoryPage::readLedgerFile() {
    ledger_ = {};
    failure_.clear();
    Result<Ledger> read = readLedger(std::filesystem::path(session_.folder().toStdU16String()));
    if (read) {
        ledger_ = std::move(read).value().check;
    } else {
        failure_ = shown(lineFor(read.problem()));
    }
    showEntries();
}

void HistoryPage::showHistoryOf(const LedgerPlace& place) {
    place_ = place;
    showEntries();
}

void HistoryPage::showEntries() {
    if (!session_.hasStudy()) {
        return;
    }
    std::vector<MadeChange> unsaved = session_.unsavedChanges();
    std::vector<LedgerEntry> saved = place_ ? historyOf(ledger_.entries, *place_) : ledger_.entries;
    if (place_) {
        std::erase_if(unsaved, [this](const MadeChange& change) {
            return !concerns(*session_.study(), change, *place_);
        });
    }
    const std::size_t count = saved.size() + unsaved.size();
    model_->setEntries(std::move(saved), std::move(unsaved));
    for (int at = 0; at < HistoryModel::whyColumn; ++at) {
        view_->resizeColumnToContents(at);
        view_->setColumnWidth(at, std::min(view_->columnWidth(at), fontMetrics().height() * 22));
    }
    view_->resizeRowsToContents();
    for (int row = 0; row < filter_->rowCount(); ++row) {
        view_->setRowHeight(row, view_->rowHeight(row) + fontMetrics().height() / 2);
    }
    all_->setVisible(place_.has_value());
    view_->setVisible(count > 0);
    QString words;
    if (!failure_.isEmpty()) {
        words = tr("The record of changes cannot be read: %1").arg(failure_);
    } else if (place_) {
        words = count == 0
                    ? tr("%1 was never changed here: it stands as it was taken in.").arg(placeOf(*place_))
                    : tr("Changes of %1, newest first.").arg(placeOf(*place_));
    } else if (count == 0) {
        words = tr(
            "Nothing was changed in this study yet. Every change of a value, a food, a visit, the plan or an "
            "exclusion will stand here with who made it, when, from what to what, and why.");
    } else {
        words =
            counted(static_cast<qsizetype>(count), tr("%1 change. "), tr("%1 changes, newest first. ")) +
            (ledger_.broken
                 ? asSentence(shown(ledger_.broken->what)) + u'.'
                 : tr("Each entry in ledger.jsonl names the one before it by its SHA-256; the chain holds."));
    }
    about_->setText(words);
}

}  // namespace aftercurve
