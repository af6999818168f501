#include "ui/window/result_view.h"

#include <QHeaderView>
#include <QPainter>
#include <QRegularExpression>
#include <QScrollBar>
#include <QStyledItemDelegate>

#include "ui/models/look.h"
#include "ui/models/text.h"
#include "ui/window/session.h"

namespace aftercurve {

namespace {

/// A column of long texts leaves room for the others; the whole text is in the tip and below the table.
constexpr int widestEms = 22;

/// Paints a bar at the left of a cell that changed: the tint alone would be a sign by colour only.
class MarkDelegate : public QStyledItemDelegate {
  public:
    using QStyledItemDelegate::QStyledItemDelegate;

    void paint(QPainter* painter, const QStyleOptionViewItem& option,
               const QModelIndex& index) const override {
        QStyledItemDelegate::paint(painter, option, index);
        if (index.data(ResultTableModel::changedRole).toBool()) {
            painter->fillRect(QRect(option.rect.left(), option.rect.top(), 3, option.rect.height()),
                              windowLook(option.palette).markEdge);
        }
    }
};

}  // namespace

void setTableManners(QTableView& view) {
    const int em = view.fontMetrics().height();
    // A quiet selection: a pale accent, so that marks and signs keep their colours on it.
    QPalette palette = view.palette();
    palette.setColor(QPalette::Highlight, windowLook(palette).selection);
    palette.setColor(QPalette::HighlightedText, palette.color(QPalette::Text));
    view.setPalette(palette);
    view.horizontalHeader()->setStyleSheet(
        QStringLiteral("QHeaderView { background: palette(base); }"
                       "QHeaderView::section { background: palette(base); color: palette(text); border: 0;"
                       " border-bottom: 1px solid palette(mid); padding: 3px 4px; }"));
    view.setShowGrid(false);
    view.setAlternatingRowColors(true);
    view.setSelectionBehavior(QAbstractItemView::SelectRows);
    view.setSelectionMode(QAbstractItemView::SingleSelection);
    view.setEditTriggers(QAbstractItemView::NoEditTriggers);
    view.setWordWrap(false);
    view.setTabKeyNavigation(false);
    view.setHorizontalScrollMode(QAbstractItemView::ScrollPerPixel);
    view.verticalHeader()->setVisible(false);
    view.verticalHeader()->setSectionResizeMode(QHeaderView::Fixed);
    view.verticalHeader()->setDefaultSectionSize(em * 3 / 2);
    view.horizontalHeader()->setHighlightSections(false);
    // Column widths from the rows in sight: with a million rows, all of them would take seconds.
    view.horizontalHeader()->setResizeContentsPrecision(60);
}

void fitColumns(QTableView& view) {
    // The arrow of the sorted column has room in the air; reserved in each, it would push the last columns
    // out of sight.
    const bool sorted = view.horizontalHeader()->isSortIndicatorShown();
    view.horizontalHeader()->setSortIndicatorShown(false);
    view.resizeColumnsToContents();
    view.horizontalHeader()->setSortIndicatorShown(sorted);
    const int columns = view.model() == nullptr ? 0 : view.model()->columnCount();
    for (int column = 0; column < columns; ++column) {
        if (!view.isColumnHidden(column)) {
            const int air = view.fontMetrics().height();
            view.setColumnWidth(column, std::min(view.columnWidth(column) + air, widestEms * air));
        }
    }
}

ResultView::ResultView(QString tableKey, QWidget* parent)
    : QTableView(parent),
      tableKey_(std::move(tableKey)),
      table_(new ResultTableModel(this)),
      order_(new QSortFilterProxyModel(this)) {
    setTableManners(*this);
    setObjectName(QStringLiteral("table.") + tableKey_);
    // Until a table with its own title is shown.
    setAccessibleName(QString(tableKey_).replace(u'_', u' '));
    setItemDelegate(new MarkDelegate(this));
    order_->setSourceModel(table_);
    order_->setSortRole(ResultTableModel::sortRole);
    order_->setFilterRole(ResultTableModel::keyRole);
    order_->setFilterKeyColumn(0);
    setModel(order_);
    setSortingEnabled(true);
    horizontalHeader()->setSortIndicator(-1, Qt::AscendingOrder);
    horizontalHeader()->setSortIndicatorClearable(true);
    connect(this, &QTableView::activated, this, [this] {
        const int row = currentTableRow();
        if (row >= 0 && !table()->rows[static_cast<std::size_t>(row)].about.analyte.empty()) {
            Q_EMIT curvesWanted(table()->rows[static_cast<std::size_t>(row)].about);
        }
    });
}

void ResultView::showResults(const Session& session) {
    const auto results = session.results();
    const int row = currentTableRow();
    const std::string kept = row >= 0 && table_->table() != nullptr
                                 ? table_->table()->rows[static_cast<std::size_t>(row)].key
                                 : std::string();
    const bool firstTime = table_->table() == nullptr;
    const int scrolled = verticalScrollBar()->value();
    const std::string key = plain(tableKey_);
    table_->setTable(results ? results->table(key) : nullptr, session.marks().of(key));
    if (table_->table() == nullptr) {
        return;
    }
    setAccessibleName(shown(table_->table()->title));
    for (const std::string& column : hidden_) {
        if (const int at = table_->columnOf(column); at >= 0) {
            setColumnHidden(at, true);
        }
    }
    if (firstTime || row < 0) {
        fitColumns(*this);
    }
    // The same row stays chosen when the numbers change, so that the reader does not lose the place.
    const auto& rows = table_->table()->rows;
    for (std::size_t i = 0; !kept.empty() && i < rows.size(); ++i) {
        if (rows[i].key == kept) {
            selectTableRow(static_cast<int>(i));
            verticalScrollBar()->setValue(scrolled);
            return;
        }
    }
    if (order_->rowCount() > 0) {
        setCurrentIndex(order_->index(0, 0));
    }
}

void ResultView::setRowFilter(const std::string& prefix) {
    const QString pattern = prefix.empty() ? QString() : u'^' + QRegularExpression::escape(shown(prefix));
    order_->setFilterRegularExpression(pattern);
    if (currentTableRow() < 0 && order_->rowCount() > 0) {
        setCurrentIndex(order_->index(0, 0));
    }
}

int ResultView::currentTableRow() const {
    return currentIndex().isValid() ? order_->mapToSource(currentIndex()).row() : -1;
}

QModelIndex ResultView::selectTableRow(int row) {
    const QModelIndex at = order_->mapFromSource(table_->index(row, 0));
    if (at.isValid()) {
        setCurrentIndex(at);
    }
    return at;
}

void ResultView::currentChanged(const QModelIndex& current, const QModelIndex& previous) {
    QTableView::currentChanged(current, previous);
    if (current.isValid()) {
        Q_EMIT rowChosen(order_->mapToSource(current).row());
    }
}

}  // namespace aftercurve
