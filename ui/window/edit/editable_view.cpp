#include "ui/window/edit/editable_view.h"

#include <QAction>
#include <QHBoxLayout>
#include <QHeaderView>
#include <QLabel>
#include <QLineEdit>
#include <QLocale>
#include <QPushButton>
#include <QShortcut>
#include <QTableView>
#include <QVBoxLayout>

#include "ui/window/edit/edit_bar.h"
#include "ui/window/edit/table_editing.h"
#include "ui/window/pages/page.h"
#include "ui/window/result_view.h"

namespace aftercurve {

namespace {

constexpr int settleMs = 150;

}  // namespace

EditableView::EditableView(Session& session, StudyTableModel* model, const QString& name, QWidget* parent)
    : QWidget(parent),
      session_(session),
      model_(model),
      filter_(new QLineEdit(this)),
      find_(new QLineEdit(this)),
      count_(new QLabel(this)),
      view_(new QTableView(this)),
      bar_(new EditBar(session, name, this)),
      editing_(new TableEditing(session, *model, *view_, name)),
      controls_(new QWidget(this)) {
    model_->setParent(this);
    const int em = fontMetrics().height();
    auto* column = new QVBoxLayout(this);
    column->setContentsMargins(0, 0, 0, 0);
    auto* row = new QHBoxLayout(controls_);
    row->setContentsMargins(0, 0, 0, 0);
    row->setSpacing(em / 2);
    const auto addField = [&](QLineEdit* field, const QString& label, const QString& word,
                              const QString& placeholder) {
        auto* caption = new QLabel(label, controls_);
        caption->setBuddy(field);
        field->setObjectName(name + u'.' + word);
        field->setAccessibleName(QString(label).remove(u'&'));
        field->setPlaceholderText(placeholder);
        field->setClearButtonEnabled(true);
        field->setFixedWidth(em * 12);
        row->addWidget(caption);
        row->addWidget(field);
    };
    addField(filter_, tr("Show &only"), QStringLiteral("filter"),
             model->table() == StudyTable::samples ? tr("subject, food or remark") : tr("any text"));
    addField(find_, tr("Fi&nd"), QStringLiteral("find"), tr("any text, then Enter"));
    count_->setObjectName(name + QStringLiteral(".count"));
    row->addWidget(count_);
    row->addStretch(1);
    column->addWidget(controls_);
    column->addWidget(bar_);
    setTableManners(*view_);
    view_->setObjectName(name + QStringLiteral(".view"));
    view_->setAccessibleName(tr("Table"));
    view_->setSelectionBehavior(QAbstractItemView::SelectItems);
    view_->setSelectionMode(QAbstractItemView::ExtendedSelection);
    view_->setEditTriggers(QAbstractItemView::DoubleClicked | QAbstractItemView::EditKeyPressed |
                           QAbstractItemView::AnyKeyPressed);
    view_->setModel(model_);
    view_->setSortingEnabled(false);
    // A last column of numbers belongs beside the others.
    view_->horizontalHeader()->setStretchLastSection(model->endsInWords());
    view_->horizontalHeader()->setSectionsClickable(true);
    view_->horizontalHeader()->setSortIndicatorShown(true);
    view_->horizontalHeader()->setSortIndicatorClearable(true);
    view_->horizontalHeader()->setSortIndicator(-1, Qt::AscendingOrder);
    view_->setContextMenuPolicy(Qt::CustomContextMenu);
    column->addWidget(view_, 1);

    connect(view_->horizontalHeader(), &QHeaderView::sortIndicatorChanged, model_, &StudyTableModel::sort);
    settle_.setSingleShot(true);
    settle_.setInterval(settleMs);
    connect(filter_, &QLineEdit::textChanged, &settle_, qOverload<>(&QTimer::start));
    connect(&settle_, &QTimer::timeout, this, [this] {
        model_->setFilter(filter_->text().trimmed());
        showCount();
    });
    connect(find_, &QLineEdit::returnPressed, this, [this] { editing_->findNext(find_->text()); });
    auto* find = new QShortcut(QKeySequence::Find, this);
    find->setContext(Qt::WidgetWithChildrenShortcut);
    connect(find, &QShortcut::activated, find_, qOverload<>(&QWidget::setFocus));
    auto* again = new QShortcut(QKeySequence::FindNext, this);
    again->setContext(Qt::WidgetWithChildrenShortcut);
    connect(again, &QShortcut::activated, this, [this] { editing_->findNext(find_->text()); });
    connect(editing_, &TableEditing::refused, bar_, &EditBar::refuse);
    connect(editing_, &TableEditing::told, bar_, &EditBar::tell);
    connect(view_, &QWidget::customContextMenuRequested, this, &EditableView::openMenu);
    connect(&session_, &Session::studyOpened, this, &EditableView::showStudy);
    connect(&session_, &Session::studyEdited, this, [this] {
        model_->updateStudy(session_.study());
        showCount();
    });
}

void EditableView::addControl(QWidget* control) {
    static_cast<QHBoxLayout*>(controls_->layout())->addWidget(control);
}

void EditableView::setEmptyWords(const QString& title, const QString& text, const QString& code) {
    empty_ = new EmptyNotice(this);
    empty_->setObjectName(view_->objectName() + QStringLiteral(".empty"));
    empty_->setWords(title, text, code);
    const QString name = view_->objectName().section(u'.', 0, -2);
    empty_->addButton(tr("Add a row…"), name + QStringLiteral(".addFirst"), [this] { editing_->addRow(); });
    empty_->addButton(tr("Paste rows"), name + QStringLiteral(".pasteFirst"),
                      [this] { editing_->pasteRows(); });
    layout()->addWidget(empty_);
    empty_->hide();
}

void EditableView::showEmpty() {
    if (empty_ == nullptr) {
        return;
    }
    const bool isEmpty = rowCount(*session_.study(), model_->table()) == 0;
    empty_->setVisible(isEmpty);
    view_->setVisible(!isEmpty);
    controls_->setVisible(!isEmpty);
    for (QPushButton* button : empty_->findChildren<QPushButton*>()) {
        button->setVisible(model_->isEditable());
    }
}

void EditableView::addAbove(QWidget* widget) {
    static_cast<QVBoxLayout*>(layout())->insertWidget(0, widget);
}

void EditableView::showStudy() {
    clearFilter();
    model_->setEditable(session_.readOnlyBecause().isEmpty());
    model_->setStudy(session_.study());
    view_->horizontalHeader()->setSortIndicator(-1, Qt::AscendingOrder);
    fitColumns(*view_);
    view_->scrollToTop();
    showCount();
}

void EditableView::clearFilter() {
    {
        const QSignalBlocker quiet(filter_);
        filter_->clear();
    }
    settle_.stop();
    if (!model_->filter().isEmpty()) {
        model_->setFilter({});
        showCount();
    }
}

void EditableView::showCount() {
    if (!session_.hasStudy()) {
        return;
    }
    showEmpty();
    const auto all = static_cast<qlonglong>(rowCount(*session_.study(), model_->table()));
    const QString total = locale().toString(all);
    const QString things = model_->table() == StudyTable::samples ? tr("draws") : tr("rows");
    count_->setText(model_->filter().isEmpty()
                        ? tr("%1 %2").arg(total, things)
                        : tr("%1 of %2 %3").arg(locale().toString(model_->rowCount()), total, things));
}

void EditableView::openMenu(const QPoint& at) {
    const QModelIndex index = view_->indexAt(at);
    auto* menu = new QMenu(this);
    menu->setObjectName(QStringLiteral("editMenu"));
    menu->setAttribute(Qt::WA_DeleteOnClose);
    const bool editable = model_->isEditable();
    for (QAction* action : editing_->actions()) {
        action->setEnabled(editable || action->objectName().endsWith(QStringLiteral(".copy")));
        menu->addAction(action);
    }
    const auto column = index.isValid() ? model_->studyColumn(index.column()) : std::nullopt;
    if (column) {
        menu->addSeparator();
        const std::size_t row = model_->studyRow(index.row());
        QAction* history = menu->addAction(tr("&History of this cell"));
        history->setObjectName(QStringLiteral("editMenu.history"));
        connect(history, &QAction::triggered, this,
                [this, row, column] { Q_EMIT historyWanted(row, *column); });
    }
    if (filler_ && index.isValid()) {
        menu->addSeparator();
        filler_(*menu, index);
    }
    menu->popup(view_->viewport()->mapToGlobal(at));
}

}  // namespace aftercurve
