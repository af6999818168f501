#include "ui/takein/take_in_window.h"

#include <QDir>
#include <QFileInfo>
#include <QFormLayout>
#include <QHBoxLayout>
#include <QHeaderView>
#include <QLabel>
#include <QLineEdit>
#include <QListWidget>
#include <QMessageBox>
#include <QProgressBar>
#include <QPushButton>
#include <QRegularExpression>
#include <QScreen>
#include <QScrollArea>
#include <QSplitter>
#include <QTabWidget>
#include <QTableView>
#include <QVBoxLayout>
#include <algorithm>

#include "ui/models/look.h"
#include "ui/models/text.h"
#include "ui/takein/mapping_forms.h"
#include "ui/takein/questions_panel.h"
#include "ui/window/pages/page.h"
#include "ui/window/pages/problems_page.h"
#include "ui/window/result_view.h"

namespace aftercurve {

namespace {

std::size_t errorsIn(const std::vector<Problem>& problems) {
    return errorCount(problems);
}

QScrollArea* scrolled(QWidget* inside, QWidget* parent) {
    auto* area = new QScrollArea(parent);
    area->setWidgetResizable(true);
    area->setFrameShape(QFrame::NoFrame);
    area->setHorizontalScrollBarPolicy(Qt::ScrollBarAlwaysOff);
    area->setWidget(inside);
    return area;
}

}  // namespace

TakeInWindow::TakeInWindow(TakeInAsks asks, QWidget* parent)
    : QDialog(parent), asks_(std::move(asks)), session_(new TakeInSession(this)) {
    setObjectName(QStringLiteral("takeInWindow"));
    setAttribute(Qt::WA_DeleteOnClose);
    setWindowTitle(tr("Take in a laboratory's files"));
    setWindowFlag(Qt::WindowMaximizeButtonHint);
    build();
    connect(session_, &TakeInSession::opened, this, &TakeInWindow::showOpened);
    connect(session_, &TakeInSession::openFailed, this, [this](const std::vector<Problem>& problems) {
        problems_->setProblems(problems);
        middle_->setCurrentIndex(2);
        state_->setText(tr("The files could not be opened; nothing of them was used."));
    });
    connect(session_, &TakeInSession::mappingChanged, this, [this] {
        if (!title_->hasFocus()) {
            title_->setText(shown(session_->mapping().title));
        }
        showState();
    });
    connect(session_, &TakeInSession::tried, this, &TakeInWindow::showTrial);
    connect(session_, &TakeInSession::busyChanged, this, &TakeInWindow::showState);
    connect(session_, &TakeInSession::progressed, this,
            [this](double share) { progress_->setValue(static_cast<int>(share * progress_->maximum())); });
    connect(session_, &TakeInSession::takenIn, this, [this](const QString& folder) {
        Q_EMIT studyWritten(folder);
        accept();
    });
    connect(session_, &TakeInSession::takeInFailed, this, [this](const std::vector<Problem>& problems) {
        problems_->setProblems(problems);
        middle_->setCurrentIndex(2);
        state_->setText(tr("Nothing was written. Correct what is listed under Problems."));
    });
    const int em = fontMetrics().height();
    const QSize room = screen()->availableSize();
    resize(std::min(em * 92, room.width() * 9 / 10), std::min(em * 56, room.height() * 9 / 10));
    showState();
}

void TakeInWindow::build() {
    const int em = fontMetrics().height();
    auto* column = new QVBoxLayout(this);
    column->setContentsMargins(em, em / 2, em, em / 2);
    auto* head = new QHBoxLayout;
    state_ = new QLabel(this);
    state_->setObjectName(QStringLiteral("takeIn.state"));
    state_->setWordWrap(true);
    state_->setTextFormat(Qt::PlainText);
    auto* files = new QPushButton(tr("Choose &files…"), this);
    files->setObjectName(QStringLiteral("takeIn.files"));
    auto* load = new QPushButton(tr("&Load mapping…"), this);
    load->setObjectName(QStringLiteral("takeIn.loadMapping"));
    load->setToolTip(tr("Read the files as an earlier time from the same laboratory"));
    auto* save = new QPushButton(tr("Sa&ve mapping…"), this);
    save->setObjectName(QStringLiteral("takeIn.saveMapping"));
    save->setToolTip(tr("Keep what is said here for the next files of this laboratory"));
    head->addWidget(state_, 1);
    for (QPushButton* button : {files, load, save}) {
        button->setAutoDefault(false);
        button->setAccessibleName(QString(button->text()).remove(u'&'));
        head->addWidget(button);
    }
    column->addLayout(head);
    progress_ = new QProgressBar(this);
    progress_->setRange(0, 1000);
    progress_->setTextVisible(false);
    progress_->setFixedHeight(4);
    QSizePolicy keeps = progress_->sizePolicy();
    keeps.setRetainSizeWhenHidden(true);
    progress_->setSizePolicy(keeps);
    progress_->setAccessibleName(tr("Progress"));
    column->addWidget(progress_);
    auto* parts = new QSplitter(Qt::Horizontal, this);
    parts->setChildrenCollapsible(false);
    parts->addWidget(buildLeft());
    parts->addWidget(buildMiddle());
    parts->addWidget(buildRight());
    parts->setStretchFactor(0, 0);
    parts->setStretchFactor(1, 1);
    parts->setStretchFactor(2, 0);
    parts->setSizes({em * 21, em * 43, em * 26});
    column->addWidget(parts, 1);
    column->addWidget(buildFoot());
    connect(files, &QPushButton::clicked, this, [this] {
        const QStringList chosen = asks_.files(this);
        if (!chosen.isEmpty()) {
            openFiles(chosen);
        }
    });
    connect(load, &QPushButton::clicked, this, &TakeInWindow::loadMapping);
    connect(save, &QPushButton::clicked, this, &TakeInWindow::saveMapping);
}

QWidget* TakeInWindow::buildLeft() {
    auto* side = new QWidget(this);
    auto* column = new QVBoxLayout(side);
    column->setContentsMargins(0, 0, 0, 0);
    column->addWidget(heading(tr("Tables in the files"), side));
    tables_ = new QListWidget(side);
    tables_->setObjectName(QStringLiteral("takeIn.tables"));
    tables_->setAccessibleName(tr("Tables in the files"));
    tables_->setMaximumHeight(fontMetrics().height() * 9);
    column->addWidget(tables_);
    column->addWidget(heading(tr("How this table is read"), side));
    tableForm_ = new TableForm(*session_, side);
    column->addWidget(scrolled(tableForm_, side), 1);
    connect(tables_, &QListWidget::currentRowChanged, this, &TakeInWindow::showTable);
    connect(tables_, &QListWidget::itemChanged, this, [this](const QListWidgetItem* item) {
        const auto entry = session_->entryOf(static_cast<std::size_t>(tables_->row(item)));
        if (!filling_ && entry) {
            Mapping mapping = session_->mapping();
            mapping.tables[*entry].use = item->checkState() == Qt::Checked;
            session_->setMapping(mapping);
        }
    });
    return side;
}

QWidget* TakeInWindow::buildMiddle() {
    middle_ = new QTabWidget(this);
    middle_->setObjectName(QStringLiteral("takeIn.middle"));
    middle_->setDocumentMode(true);
    file_ = new FilePreviewModel(this);
    fileView_ = new QTableView(middle_);
    draws_ = new TextListModel(this);
    drawsView_ = new QTableView(middle_);
    problems_ = new ProblemsView(QStringLiteral("takeIn.problems"), middle_);
    setTableManners(*fileView_);
    setTableManners(*drawsView_);
    fileView_->setObjectName(QStringLiteral("takeIn.file"));
    fileView_->setAccessibleName(tr("The table as it stands in the file"));
    fileView_->setSelectionBehavior(QAbstractItemView::SelectColumns);
    fileView_->verticalHeader()->show();
    fileView_->setModel(file_);
    fileView_->horizontalHeader()->setSectionsClickable(true);
    drawsView_->setObjectName(QStringLiteral("takeIn.draws"));
    drawsView_->setAccessibleName(tr("The draws that come of it"));
    drawsView_->setModel(draws_);
    middle_->addTab(fileView_, tr("As in the file"));
    middle_->addTab(drawsView_, tr("Draws that come of it"));
    middle_->addTab(problems_, tr("Problems"));
    connect(fileView_->horizontalHeader(), &QHeaderView::sectionClicked, this, &TakeInWindow::showColumn);
    connect(fileView_->selectionModel(), &QItemSelectionModel::currentColumnChanged, this,
            [this](const QModelIndex& current) { showColumn(current.column()); });
    connect(fileView_, &QTableView::clicked, this,
            [this](const QModelIndex& index) { showColumn(index.column()); });
    return middle_;
}

QWidget* TakeInWindow::buildRight() {
    right_ = new QTabWidget(this);
    right_->setObjectName(QStringLiteral("takeIn.right"));
    right_->setDocumentMode(true);
    questions_ = new QuestionsPanel(*session_, right_);
    columnForm_ = new ColumnForm(*session_, right_);
    right_->addTab(questions_, tr("Understood"));
    right_->addTab(scrolled(columnForm_, right_), tr("Column"));
    right_->addTab(new ListForm(*session_, ListForm::What::foods, right_), tr("Foods"));
    right_->addTab(new ListForm(*session_, ListForm::What::analytes, right_), tr("Analytes"));
    connect(questions_, &QuestionsPanel::placeWanted, this, &TakeInWindow::showPlace);
    connect(questions_, &QuestionsPanel::answered, this, &TakeInWindow::showState);
    return right_;
}

QWidget* TakeInWindow::buildFoot() {
    auto* foot = new QWidget(this);
    auto* row = new QHBoxLayout(foot);
    row->setContentsMargins(0, 0, 0, 0);
    title_ = new QLineEdit(foot);
    title_->setObjectName(QStringLiteral("takeIn.title"));
    title_->setAccessibleName(tr("Title of the study"));
    title_->setPlaceholderText(tr("title of the study"));
    folder_ = new QLineEdit(foot);
    folder_->setObjectName(QStringLiteral("takeIn.folder"));
    folder_->setAccessibleName(tr("Folder of the study"));
    folder_->setPlaceholderText(tr("folder that the study is written into"));
    auto* choose = new QPushButton(tr("C&hoose…"), foot);
    choose->setObjectName(QStringLiteral("takeIn.chooseFolder"));
    choose->setAccessibleName(tr("Choose the folder of the study"));
    choose->setAutoDefault(false);
    go_ = new QPushButton(tr("&Take in"), foot);
    go_->setObjectName(QStringLiteral("takeIn.go"));
    go_->setAccessibleName(tr("Take in"));
    go_->setAutoDefault(false);
    stop_ = new QPushButton(tr("Stop"), foot);
    stop_->setObjectName(QStringLiteral("takeIn.stop"));
    stop_->setAccessibleName(tr("Stop"));
    stop_->setAutoDefault(false);
    auto* close = new QPushButton(tr("Close"), foot);
    close->setAccessibleName(tr("Close"));
    close->setObjectName(QStringLiteral("takeIn.close"));
    close->setAutoDefault(false);
    auto* titleLabel = new QLabel(tr("Tit&le"), foot);
    titleLabel->setBuddy(title_);
    auto* folderLabel = new QLabel(tr("Fol&der"), foot);
    folderLabel->setBuddy(folder_);
    row->addWidget(titleLabel);
    row->addWidget(title_, 2);
    row->addWidget(folderLabel);
    row->addWidget(folder_, 3);
    for (QPushButton* button : {choose, go_, stop_, close}) {
        row->addWidget(button);
    }
    connect(title_, &QLineEdit::editingFinished, this, [this] {
        Mapping mapping = session_->mapping();
        mapping.title = plain(title_->text().trimmed());
        session_->setMapping(mapping);
    });
    connect(folder_, &QLineEdit::textChanged, this, &TakeInWindow::showState);
    connect(choose, &QPushButton::clicked, this, [this] {
        const QString folder = asks_.folder(this);
        if (!folder.isEmpty()) {
            folder_->setText(QDir::toNativeSeparators(folder));
        }
    });
    connect(go_, &QPushButton::clicked, this, &TakeInWindow::takeIn);
    connect(stop_, &QPushButton::clicked, session_, &TakeInSession::stop);
    connect(close, &QPushButton::clicked, this, &QDialog::reject);
    return foot;
}

void TakeInWindow::openFiles(const QStringList& files) {
    if (!files.isEmpty() && folder_->text().isEmpty()) {
        const QFileInfo first(files.front());
        folder_->setText(
            QDir::toNativeSeparators(first.absoluteDir().filePath(first.completeBaseName() + tr("-study"))));
    }
    session_->open(files);
}

void TakeInWindow::showOpened() {
    filling_ = true;
    tables_->clear();
    for (std::size_t i = 0; i < session_->tables().size(); ++i) {
        const InputTable& table = session_->tables()[i];
        QString name = shown(nameOf(table));
        if (table.hidden) {
            name = tr("%1 (hidden sheet)").arg(name);
        }
        auto* item = new QListWidgetItem(name, tables_);
        const auto entry = session_->entryOf(i);
        item->setFlags(item->flags() | Qt::ItemIsUserCheckable);
        item->setCheckState(entry && session_->mapping().tables[*entry].use ? Qt::Checked : Qt::Unchecked);
    }
    filling_ = false;
    middle_->setCurrentIndex(0);
    right_->setCurrentIndex(0);
    for (int row = 0; row < tables_->count(); ++row) {
        if (tables_->item(row)->checkState() == Qt::Checked) {
            tables_->setCurrentRow(row);
            return;
        }
    }
    tables_->setCurrentRow(0);
}

void TakeInWindow::showTable() {
    const int row = tables_->currentRow();
    const auto table = row < 0 ? std::nullopt : std::optional(static_cast<std::size_t>(row));
    tableForm_->showTable(table);
    columnForm_->showColumn(std::nullopt, 0, {});
    showTrial();
}

void TakeInWindow::showTrial() {
    const TakeInTrial& trial = session_->trial();
    const int row = tables_->currentRow();
    const auto at = static_cast<std::size_t>(std::max(0, row));
    if (row < 0 || at >= trial.previews.size()) {
        file_->clear();
    } else {
        const int column = fileView_->currentIndex().column();
        const auto entry = session_->entryOf(at);
        file_->show(trial.previews[at], trial.heads[at], trial.bindings[at],
                    entry ? session_->mapping().tables[*entry] : TableMapping{});
        fitColumns(*fileView_);
        for (int i = 0; i < file_->columnCount(); ++i) {
            // A title above the table is no reason for a wide column.
            fileView_->setColumnWidth(i, std::min(fileView_->columnWidth(i), fontMetrics().height() * 12));
        }
        if (column >= 0 && column < file_->columnCount() && file_->rowCount() > 0) {
            fileView_->selectColumn(column);
        }
    }
    draws_->show(trial.draws);
    fitColumns(*drawsView_);
    std::vector<Problem> problems = trial.problems;
    problems.insert(problems.end(), trial.draws.problems.begin(), trial.draws.problems.end());
    problems_->setProblems(problems);
    const std::size_t errors = errorsIn(problems);
    middle_->setTabText(2, problems.empty() ? tr("Problems")
                           : errors > 0 ? tr("Problems (%1, %2 in the way)").arg(problems.size()).arg(errors)
                                        : tr("Problems (%1)").arg(problems.size()));
    showState();
}

void TakeInWindow::showState() {
    const bool busy = session_->isBusy();
    progress_->setVisible(busy);
    stop_->setVisible(busy);
    if (!busy) {
        progress_->setValue(0);
    }
    const int open = questions_->openQuestions();
    const bool ready = session_->isReady() && open == 0;
    go_->setEnabled(ready && !busy && !folder_->text().trimmed().isEmpty());
    right_->setTabText(0, open > 0 ? tr("Questions (%1)").arg(open) : tr("Understood"));
    if (session_->tables().empty()) {
        state_->setText(
            busy ? tr("Opening the files …")
                 : tr("Choose text files or workbooks of a laboratory, or drop them on the program's "
                      "window. Nothing is written until you say so."));
    } else if (open > 0) {
        state_->setText(counted(open, tr("%1 question must be answered before the files can be taken in."),
                                tr("%1 questions must be answered before the files can be taken in.")));
    } else if (!session_->isReady()) {
        state_->setText(busy ? tr("Looking at what comes of it …")
                             : tr("Something stands in the way: see Problems."));
    } else if (folder_->text().trimmed().isEmpty()) {
        state_->setText(tr("Choose the folder that the study is to be written into."));
    } else {
        state_->setText(tr("Ready. Look through how the files were understood, then take them in."));
    }
}

void TakeInWindow::showColumn(int column) {
    if (column < 0 || tables_->currentRow() < 0) {
        return;
    }
    columnForm_->showColumn(static_cast<std::size_t>(tables_->currentRow()), static_cast<std::size_t>(column),
                            file_->headerOf(column));
    right_->setCurrentIndex(1);
}

void TakeInWindow::showPlace(const std::string& key) {
    static const QRegularExpression column(QStringLiteral("^tables\\[(\\d+)\\]\\.columns\\[(\\d+)\\]"));
    static const QRegularExpression table(QStringLiteral("^tables\\[(\\d+)\\]"));
    const QString text = shown(key);
    if (text.startsWith(QStringLiteral("foods"))) {
        right_->setCurrentIndex(2);
        return;
    }
    if (text.startsWith(QStringLiteral("analytes"))) {
        right_->setCurrentIndex(3);
        return;
    }
    const auto inTable = table.match(text);
    if (!inTable.hasMatch()) {
        return;
    }
    const auto entry = inTable.captured(1).toULongLong();
    for (std::size_t i = 0; i < session_->tables().size(); ++i) {
        if (session_->entryOf(i) == entry) {
            tables_->setCurrentRow(static_cast<int>(i));
            break;
        }
    }
    middle_->setCurrentIndex(0);
    const auto inColumn = column.match(text);
    if (inColumn.hasMatch()) {
        const auto& columns = session_->mapping().tables[entry].columns;
        const auto at = inColumn.captured(2).toULongLong();
        if (at < columns.size()) {
            const int position = static_cast<int>(columns[at].column) - 1;
            fileView_->selectColumn(position);
            showColumn(position);
        }
    }
}

void TakeInWindow::loadMapping() {
    const QString path = asks_.mapping(this, false);
    if (path.isEmpty()) {
        return;
    }
    const Result<Done> done = session_->loadMapping(path);
    if (!done) {
        problems_->setProblems({done.problem()});
        middle_->setCurrentIndex(2);
        state_->setText(tr("The mapping was not used: %1.").arg(shown(done.problem().what)));
    }
}

void TakeInWindow::saveMapping() {
    const QString path = asks_.mapping(this, true);
    if (path.isEmpty()) {
        return;
    }
    const Result<Done> done = session_->saveMapping(path);
    state_->setText(done ? tr("Mapping written: %1").arg(QDir::toNativeSeparators(path))
                         : tr("The mapping was not written: %1.").arg(shown(done.problem().what)));
}

void TakeInWindow::takeIn() {
    session_->takeIn(QDir::fromNativeSeparators(folder_->text().trimmed()));
}

}  // namespace aftercurve
