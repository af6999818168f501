#include "ui/window/edit/table_editing.h"

#include <QAction>
#include <QClipboard>
#include <QGuiApplication>
#include <QItemSelectionModel>
#include <QRegularExpression>
#include <QTableView>
#include <algorithm>
#include <map>
#include <set>

#include "ui/models/clipboard_block.h"
#include "ui/models/study_table_model.h"
#include "ui/models/text.h"
#include "ui/window/edit/row_form.h"
#include "ui/window/session.h"

namespace aftercurve {

namespace {

Problem problemOf(const QString& what, const QString& remedy) {
    Problem problem;
    problem.what = plain(what);
    problem.remedy = plain(remedy);
    return problem;
}

Problem noBlock() {
    return problemOf(TableEditing::tr("there is no block of cells on the clipboard"),
                     TableEditing::tr("copy one in a spreadsheet first (a million cells at most)"));
}

/// Whether a line of a block holds the names of the columns, in their order.
bool isHeader(const QStringList& line, const std::vector<TableColumn>& columns) {
    for (qsizetype i = 0; i < line.size(); ++i) {
        const auto at = static_cast<std::size_t>(i);
        if (at >= columns.size() || plain(line[i].trimmed()) != columns[at].name) {
            return false;
        }
    }
    return true;
}

bool hasDecimalComma(const QString& text) {
    static const QRegularExpression pattern(QStringLiteral("^<?\\s*[+-]?\\d+,\\d+$"));
    return pattern.match(text.trimmed()).hasMatch();
}

/// Whether the block is written with decimal commas throughout: some cell is, and none has a point.
bool isWrittenWithCommas(const std::vector<QStringList>& block) {
    static const QRegularExpression point(QStringLiteral("^<?\\s*[+-]?\\d+\\.\\d+$"));
    bool comma = false;
    for (const QStringList& row : block) {
        for (const QString& cell : row) {
            comma = comma || hasDecimalComma(cell);
            if (point.match(cell.trimmed()).hasMatch()) {
                return false;
            }
        }
    }
    return comma;
}

}  // namespace

TableEditing::TableEditing(Session& session, StudyTableModel& model, QTableView& view, const QString& name)
    : QObject(&view), session_(session), model_(model), view_(view) {
    const auto add = [&](const QString& text, const QString& word, const QKeySequence& keys, auto member) {
        auto* action = new QAction(text, this);
        action->setObjectName(name + u'.' + word);
        action->setShortcut(keys);
        action->setShortcutContext(Qt::WidgetWithChildrenShortcut);
        connect(action, &QAction::triggered, this, member);
        view_.addAction(action);
        actions_ << action;
    };
    add(tr("&Copy"), QStringLiteral("copy"), QKeySequence::Copy, &TableEditing::copy);
    add(tr("&Paste"), QStringLiteral("paste"), QKeySequence::Paste, &TableEditing::paste);
    add(tr("Paste as &new rows"), QStringLiteral("pasteRows"), QKeySequence(tr("Ctrl+Shift+V")),
        &TableEditing::pasteRows);
    add(tr("&Fill down"), QStringLiteral("fill"), QKeySequence(tr("Ctrl+D")), &TableEditing::fillDown);
    add(tr("C&lear cells"), QStringLiteral("clear"), QKeySequence::Delete, &TableEditing::clearCells);
    add(tr("&Add a row"), QStringLiteral("add"), QKeySequence(tr("Ctrl+Shift+Insert")),
        &TableEditing::addRow);
    add(tr("&Remove rows"), QStringLiteral("remove"), QKeySequence(tr("Ctrl+Shift+Delete")),
        &TableEditing::removeRows);
    connect(&model_, &StudyTableModel::changesWanted, this, &TableEditing::make);
}

bool TableEditing::make(const std::vector<Change>& changes, const QString& name) {
    if (changes.empty()) {
        return false;
    }
    const Result<Done> done = session_.change(changes, name);
    if (!done) {
        Q_EMIT refused(done.problem());
    }
    return done.ok();
}

QModelIndexList TableEditing::selectedCells() const {
    QModelIndexList cells = view_.selectionModel()->selectedIndexes();
    cells.removeIf([this](const QModelIndex& cell) { return !model_.studyColumn(cell.column()); });
    std::sort(cells.begin(), cells.end(), [](const QModelIndex& a, const QModelIndex& b) {
        return std::pair(a.row(), a.column()) < std::pair(b.row(), b.column());
    });
    return cells;
}

void TableEditing::copy() {
    std::map<int, std::map<int, QString>> cells;
    std::set<int> columns;
    for (const QModelIndex& cell : selectedCells()) {
        cells[cell.row()][cell.column()] = cell.data(Qt::EditRole).toString();
        columns.insert(cell.column());
    }
    std::vector<QStringList> block;
    for (const auto& [row, texts] : cells) {
        QStringList line;
        for (const int column : columns) {
            const auto found = texts.find(column);
            line << (found == texts.end() ? QString() : found->second);
        }
        block.push_back(line);
    }
    if (!block.empty()) {
        QGuiApplication::clipboard()->setText(textOfBlock(block));
        Q_EMIT told(counted(selectedCells().size(), tr("%1 cell copied"), tr("%1 cells copied")));
    }
}

std::vector<Change> TableEditing::changesFor(const std::vector<QStringList>& block, int row, int column,
                                             int& commas) const {
    const bool withCommas = isWrittenWithCommas(block);
    std::vector<Change> changes;
    const std::size_t rows = rowCount(*model_.study(), model_.table());
    std::size_t appended = 0;
    for (std::size_t r = 0; r < block.size(); ++r) {
        const int viewRow = row + static_cast<int>(r);
        const bool isNew = viewRow >= model_.rowCount();
        InsertRow added{model_.table(), rows + appended, {}};
        added.cells.resize(model_.studyColumns().size());
        for (qsizetype c = 0; c < block[r].size(); ++c) {
            const auto at = model_.studyColumn(column + static_cast<int>(c));
            if (!at) {
                continue;
            }
            QString text = block[r][c].trimmed();
            if (withCommas && model_.studyColumns()[*at].number && hasDecimalComma(text)) {
                text.replace(u',', u'.');
                ++commas;
            }
            if (isNew) {
                added.cells[*at] = plain(text);
                continue;
            }
            const std::size_t studyRow = model_.studyRow(viewRow);
            if (plain(text) != cellText(*model_.study(), model_.table(), studyRow, *at)) {
                changes.push_back(SetCell{model_.table(), studyRow, *at, plain(text)});
            }
        }
        if (isNew) {
            changes.push_back(std::move(added));
            ++appended;
        }
    }
    return changes;
}

void TableEditing::paste() {
    const std::vector<QStringList> block = blockFrom(QGuiApplication::clipboard()->text());
    const QModelIndexList cells = selectedCells();
    const QModelIndex corner = cells.isEmpty() ? view_.currentIndex() : cells.front();
    if (block.empty() || !model_.study()) {
        Q_EMIT refused(noBlock());
        return;
    }
    if (!corner.isValid()) {
        Q_EMIT refused(problemOf(tr("no cell is chosen"), tr("choose the cell where the block begins")));
        return;
    }
    int commas = 0;
    std::vector<Change> changes;
    const bool one = block.size() == 1 && block[0].size() == 1;
    if (one && cells.size() > 1) {
        for (const QModelIndex& cell : cells) {
            for (Change& change : changesFor(block, cell.row(), cell.column(), commas)) {
                changes.push_back(std::move(change));
            }
        }
    } else {
        changes = changesFor(block, corner.row(), corner.column(), commas);
    }
    if (changes.empty()) {
        Q_EMIT told(tr("The block says what stands there already"));
    } else {
        makePasted(changes, commas);
    }
}

void TableEditing::pasteRows() {
    std::vector<QStringList> block = blockFrom(QGuiApplication::clipboard()->text());
    if (block.empty() || !model_.study()) {
        Q_EMIT refused(noBlock());
        return;
    }
    // The line of names, as in the file, is no row.
    if (isHeader(block.front(), model_.studyColumns())) {
        block.erase(block.begin());
    }
    int commas = 0;
    int firstColumn = 0;
    while (firstColumn < model_.columnCount() && !model_.studyColumn(firstColumn)) {
        ++firstColumn;
    }
    const std::vector<Change> changes = changesFor(block, model_.rowCount(), firstColumn, commas);
    if (changes.empty()) {
        Q_EMIT refused(noBlock());
    } else {
        makePasted(changes, commas);
    }
}

void TableEditing::makePasted(const std::vector<Change>& changes, int commas) {
    if (make(changes, tr("paste"))) {
        const QString words =
            counted(static_cast<qsizetype>(changes.size()), tr("%1 change pasted"), tr("%1 changes pasted"));
        Q_EMIT told(commas == 0 ? words
                                : tr("%1; decimal commas read as points in %2 cells").arg(words).arg(commas));
    }
}

void TableEditing::fillDown() {
    std::map<int, QModelIndex> tops;
    std::vector<Change> changes;
    for (const QModelIndex& cell : selectedCells()) {
        const auto [top, first] = tops.try_emplace(cell.column(), cell);
        const std::string text = plain(top->second.data(Qt::EditRole).toString());
        if (!first && text != plain(cell.data(Qt::EditRole).toString())) {
            changes.push_back(SetCell{model_.table(), model_.studyRow(cell.row()),
                                      *model_.studyColumn(cell.column()), text});
        }
    }
    if (changes.empty()) {
        Q_EMIT told(tr("Choose two or more cells of a column: the first one fills the others"));
    } else if (make(changes, tr("fill down"))) {
        Q_EMIT told(
            counted(static_cast<qsizetype>(changes.size()), tr("%1 cell filled"), tr("%1 cells filled")));
    }
}

void TableEditing::clearCells() {
    std::vector<Change> changes;
    for (const QModelIndex& cell : selectedCells()) {
        if (!cell.data(Qt::EditRole).toString().isEmpty()) {
            changes.push_back(
                SetCell{model_.table(), model_.studyRow(cell.row()), *model_.studyColumn(cell.column()), {}});
        }
    }
    if (make(changes, tr("clear"))) {
        Q_EMIT told(
            counted(static_cast<qsizetype>(changes.size()), tr("%1 cell cleared"), tr("%1 cells cleared")));
    }
}

void TableEditing::addRow() {
    if (!model_.study()) {
        return;
    }
    if (!isAskedFor(model_.table())) {
        copyRowAnew();
        return;
    }
    if (!model_.isEditable()) {
        Q_EMIT refused(problemOf(tr("the study can be looked at, not changed"), tr("save a copy of it")));
        return;
    }
    const QModelIndex current = view_.currentIndex();
    std::optional<std::size_t> like;
    if (current.isValid()) {
        like = model_.studyRow(current.row());
    } else if (const std::size_t rows = rowCount(*model_.study(), model_.table()); rows > 0) {
        like = rows - 1;
    }
    askForRow(session_, model_.table(), like, view_.window(), [this](std::size_t row) { showRow(row); });
}

void TableEditing::showRow(std::size_t studyRow) {
    if (const auto row = model_.rowOf(studyRow)) {
        view_.setCurrentIndex(model_.index(*row, std::max(0, view_.currentIndex().column())));
        view_.scrollTo(view_.currentIndex());
    }
}

void TableEditing::copyRowAnew() {
    // The new row repeats what the current one says but its measured values, so that little is to be typed.
    InsertRow added{model_.table(), rowCount(*model_.study(), model_.table()), {}};
    const QModelIndex current = view_.currentIndex();
    for (std::size_t column = 0; column < model_.studyColumns().size(); ++column) {
        const TableColumn& about = model_.studyColumns()[column];
        const bool repeats = current.isValid() && (about.required || about.name == "visit");
        added.cells.push_back(
            repeats ? cellText(*model_.study(), model_.table(), model_.studyRow(current.row()), column)
                    : std::string{});
    }
    // A code must be new.
    if (model_.table() != StudyTable::samples && model_.table() != StudyTable::visits) {
        added.cells[0] = plain(tr("new%1").arg(added.row + 1));
    } else if (model_.table() == StudyTable::visits && current.isValid()) {
        const auto visit = static_cast<std::size_t>(2);
        added.cells[visit] =
            std::to_string(std::max(1, QString::fromStdString(added.cells[visit]).toInt()) + 1);
    }
    if (make({added}, tr("new row"))) {
        showRow(added.row);
    }
}

void TableEditing::removeRows() {
    std::set<std::size_t, std::greater<>> rows;
    for (const QModelIndex& cell : selectedCells()) {
        rows.insert(model_.studyRow(cell.row()));
    }
    std::vector<Change> changes;
    for (const std::size_t row : rows) {
        changes.push_back(RemoveRow{model_.table(), row});
    }
    if (make(changes, tr("removal of rows"))) {
        Q_EMIT told(
            counted(static_cast<qsizetype>(changes.size()), tr("%1 row removed"), tr("%1 rows removed")));
    }
}

bool TableEditing::findNext(const QString& text) {
    const int rows = model_.rowCount();
    const int columns = model_.columnCount();
    if (text.isEmpty() || rows == 0 || columns == 0) {
        return false;
    }
    const QModelIndex current = view_.currentIndex();
    const qint64 total = static_cast<qint64>(rows) * columns;
    const qint64 start =
        current.isValid() ? static_cast<qint64>(current.row()) * columns + current.column() + 1 : 0;
    for (qint64 step = 0; step < total; ++step) {
        const qint64 at = (start + step) % total;
        const QModelIndex cell = model_.index(static_cast<int>(at / columns), static_cast<int>(at % columns));
        if (cell.data(Qt::DisplayRole).toString().contains(text, Qt::CaseInsensitive)) {
            view_.setCurrentIndex(cell);
            view_.scrollTo(cell);
            return true;
        }
    }
    Q_EMIT told(tr("“%1” is nowhere in the table").arg(text));
    return false;
}

}  // namespace aftercurve
