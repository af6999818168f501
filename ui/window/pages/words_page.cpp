#include "ui/window/pages/words_page.h"

#include <QClipboard>
#include <QGuiApplication>
#include <QHBoxLayout>
#include <QLabel>
#include <QListWidget>
#include <QPlainTextEdit>
#include <QPushButton>
#include <QSplitter>
#include <QVBoxLayout>

#include "core/findings/explain.h"
#include "ui/models/text.h"

namespace aftercurve {

namespace {

constexpr int placeRole = Qt::UserRole;    ///< in `sentences_`; a heading has none
constexpr std::size_t mostRowsShown = 12;  ///< written out; the others are counted

}  // namespace

WordsPage::WordsPage(Session& session, QWidget* parent)
    : Page(session, parent),
      list_(new QListWidget(this)),
      rows_(new QPlainTextEdit(this)),
      lead_(new QPushButton(tr("Show in its &table"), this)),
      copy_(new QPushButton(tr("Copy &all as text"), this)) {
    setObjectName(QStringLiteral("words"));
    QVBoxLayout* column = pageColumn(this);
    auto* across = new QSplitter(Qt::Horizontal, this);
    across->setChildrenCollapsible(false);
    list_->setObjectName(QStringLiteral("words.sentences"));
    list_->setAccessibleName(tr("Methods and results in sentences"));
    list_->setWordWrap(true);
    list_->setResizeMode(QListView::Adjust);
    list_->setSpacing(fontMetrics().height() / 6);
    list_->setHorizontalScrollBarPolicy(Qt::ScrollBarAlwaysOff);
    across->addWidget(list_);
    auto* side = new QWidget(across);
    auto* below = new QVBoxLayout(side);
    below->setContentsMargins(0, 0, 0, 0);
    below->addWidget(heading(tr("Where its numbers stand"), side));
    rows_->setObjectName(QStringLiteral("words.rows"));
    rows_->setAccessibleName(tr("Rows that the sentence rests on"));
    rows_->setReadOnly(true);
    below->addWidget(rows_, 1);
    across->addWidget(side);
    across->setStretchFactor(0, 3);
    across->setStretchFactor(1, 2);
    column->addWidget(across, 1);
    QHBoxLayout* row = controlRow(this);
    copy_->setObjectName(QStringLiteral("words.copy"));
    lead_->setObjectName(QStringLiteral("words.lead"));
    row->addWidget(copy_);
    row->addStretch(1);
    row->addWidget(lead_);
    column->addLayout(row);
    connect(list_, &QListWidget::currentRowChanged, this, &WordsPage::showRows);
    connect(list_, &QListWidget::itemActivated, this, &WordsPage::leadToRow);
    connect(lead_, &QPushButton::clicked, this, &WordsPage::leadToRow);
    connect(copy_, &QPushButton::clicked, this, &WordsPage::copyAll);
    connect(&session_, &Session::studyOpened, this, &WordsPage::showResults);
    connect(&session_, &Session::resultsChanged, this, &WordsPage::showResults);
}

void WordsPage::showEvent(QShowEvent* event) {
    Page::showEvent(event);
    if (stale_) {
        showResults();
    }
}

void WordsPage::showResults() {
    // Sentences build tables of their own, so that they are written for a reader only.
    stale_ = !isVisible();
    if (stale_) {
        return;
    }
    const int kept = list_->currentRow();
    list_->clear();
    sentences_.clear();
    const auto results = session_.results();
    copy_->setEnabled(results != nullptr);
    if (results) {
        addPart(tr("Methods"), methodsSentences(*results->study, results->findings));
        addPart(tr("Results"), resultsSentences(*results->study, results->findings));
        list_->setCurrentRow(kept > 0 && kept < list_->count() ? kept : 1);
    }
    showRows();
}

void WordsPage::addPart(const QString& title, std::vector<Sentence> sentences) {
    auto* head = new QListWidgetItem(title, list_);
    head->setFlags(Qt::ItemIsEnabled);
    QFont font = list_->font();
    font.setWeight(QFont::DemiBold);
    head->setFont(font);
    for (Sentence& sentence : sentences) {
        auto* item = new QListWidgetItem(shown(sentence.text), list_);
        item->setData(placeRole, static_cast<int>(sentences_.size()));
        sentences_.push_back(std::move(sentence));
    }
}

const Sentence* WordsPage::chosen() const {
    const QListWidgetItem* item = list_->currentItem();
    const QVariant place = item == nullptr ? QVariant() : item->data(placeRole);
    return place.isValid() ? &sentences_[static_cast<std::size_t>(place.toInt())] : nullptr;
}

void WordsPage::showRows() {
    const auto results = session_.results();
    const Sentence* sentence = chosen();
    QString text;
    if (results && sentence != nullptr) {
        std::size_t count = 0;
        for (const SentenceSource& source : sentence->sources) {
            const auto table = results->table(source.table);
            if (!table || source.row >= table->rows.size() || ++count > mostRowsShown) {
                continue;
            }
            text += shown(table->title) + u'\n' + shown(rowInFull(*table, source.row)) + u'\n';
        }
        if (count > mostRowsShown) {
            text += tr("and %1 more rows").arg(count - mostRowsShown);
        }
        if (count == 0) {
            text =
                tr("No row of a table: the sentence follows from the plan, the study's facts or the "
                   "program.");
        }
    }
    rows_->setPlainText(text);
    lead_->setEnabled(sentence != nullptr && !sentence->sources.empty());
}

void WordsPage::leadToRow() {
    const Sentence* sentence = chosen();
    if (sentence != nullptr && !sentence->sources.empty()) {
        const SentenceSource& first = sentence->sources.front();
        Q_EMIT rowWanted(shown(first.table), static_cast<int>(first.row));
    }
}

void WordsPage::copyAll() {
    QString text;
    for (int row = 0; row < list_->count(); ++row) {
        const QListWidgetItem& item = *list_->item(row);
        const bool isHeading = !item.data(placeRole).isValid();
        text += (isHeading ? (row == 0 ? QString() : QStringLiteral("\n\n")) : QString()) + item.text() +
                (isHeading ? QStringLiteral("\n\n") : QStringLiteral(" "));
    }
    QGuiApplication::clipboard()->setText(text.trimmed() + u'\n');
    Q_EMIT copied();
}

}  // namespace aftercurve
