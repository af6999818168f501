#include "tests/ui/window/window_fixture.h"

#include <QAbstractButton>
#include <QAction>
#include <QDir>
#include <QElapsedTimer>
#include <QFile>
#include <QLineEdit>
#include <QTest>

namespace aftercurve::test {

bool waitUntil(const std::function<bool()>& done, int ms) {
    QElapsedTimer since;
    since.start();
    while (!done()) {
        if (since.elapsed() > ms) {
            return false;
        }
        QTest::qWait(5);
    }
    return true;
}

QString copyOfStudy(const QString& from, const QString& into) {
    const QDir source(from);
    const QString target = into + u'/' + source.dirName();
    QDir().mkpath(target);
    for (const QString& name : source.entryList(QDir::Files)) {
        QFile::copy(source.filePath(name), target + u'/' + name);
    }
    return target;
}

WindowTest::WindowTest()
    : settings_(
          std::make_unique<QSettings>(temp_.filePath(QStringLiteral("settings.ini")), QSettings::IniFormat)) {
    window_ = makeWindow();
    window_->show();
    EXPECT_TRUE(QTest::qWaitForWindowExposed(window_.get()));
}

WindowTest::~WindowTest() = default;

std::unique_ptr<MainWindow> WindowTest::makeWindow() {
    WindowSetup setup;
    setup.settings = settings_.get();
    setup.samples = sampleStudiesIn(QStringLiteral(TEST_SAMPLES));
    setup.askToSave = [this](QWidget*, const QString&) {
        ++asked_;
        return answer_;
    };
    setup.askFile = [this](QWidget*, const QString&, const QString&) { return file_; };
    setup.askFolder = [this](QWidget*, const QString&) { return folder_; };
    setup.askSchedule = [this](QWidget*) { return file_; };
    setup.askScheduleFolder = [this](QWidget*) { return folder_; };
    setup.askExportFolder = [this](QWidget*, const QString&) { return folder_; };
    setup.askFigureFile = [this](QWidget*) { return file_; };
    setup.takeIn.files = [this](QWidget*) { return chosen_; };
    setup.takeIn.folder = [this](QWidget*) { return folder_; };
    setup.takeIn.mapping = [this](QWidget*, bool) { return mappingFile_; };
    return std::make_unique<MainWindow>(std::move(setup));
}

void WindowTest::openSample(const QString& name) {
    open(copyOfStudy(QStringLiteral(TEST_SAMPLES "/") + name, temp_.path()));
}

void WindowTest::open(const QString& folder) {
    window_->openStudy(folder);
    ASSERT_TRUE(waitForResults());
}

bool WindowTest::waitForResults() {
    Session& session = window_->session();
    return waitUntil([&] { return !session.isBusy() && session.resultsAreCurrent(); });
}

void WindowTest::press(const char* buttonName) {
    QTest::mouseClick(&find<QAbstractButton>(buttonName), Qt::LeftButton);
}

void WindowTest::trigger(const char* actionName) {
    auto& action = find<QAction>(actionName);
    EXPECT_TRUE(action.isEnabled()) << actionName;
    action.trigger();
}

void WindowTest::type(QWidget& widget, const QString& text) {
    widget.setFocus();
    QTest::keySequence(&widget, QKeySequence::SelectAll);
    if (text.isEmpty()) {
        QTest::keyClick(&widget, Qt::Key_Delete);
    }
    QTest::keyClicks(&widget, text);
    QTest::keyClick(&widget, Qt::Key_Return);
}

void WindowTest::typeInto(QTableView& view, const QModelIndex& cell, const QString& words) {
    view.setCurrentIndex(cell);
    view.edit(cell);
    auto* editor = qobject_cast<QLineEdit*>(view.indexWidget(cell));
    if (editor == nullptr) {
        editor = view.viewport()->findChild<QLineEdit*>();
    }
    ASSERT_NE(editor, nullptr);
    editor->selectAll();
    QTest::keyClicks(editor, words);
    QTest::keyClick(editor, Qt::Key_Return);
    QApplication::processEvents();
}

void WindowTest::enter(const char* fieldName, const QString& text) {
    auto& field = find<QLineEdit>(fieldName);
    field.setFocus();
    field.selectAll();
    if (text.isEmpty()) {
        QTest::keyClick(&field, Qt::Key_Delete);
    }
    QTest::keyClicks(&field, text);
    QTest::keyClick(&field, Qt::Key_Return);
}

void WindowTest::giveReason(const QString& stem, const QString& why) {
    type(find<QLineEdit>((stem + QStringLiteral(".by")).toLatin1().constData()), QStringLiteral("KM"));
    type(find<QLineEdit>((stem + QStringLiteral(".why")).toLatin1().constData()), why);
}

std::string WindowTest::textOf(std::string_view table) {
    std::string text;
    const auto found = window_->session().results()->table(table);
    for (const Row& row : found->rows) {
        text += row.key;
        for (std::size_t i = 0; i < found->columns.size(); ++i) {
            text += '\t' + shownText(row.cells[i], found->columns[i]);
        }
        text += '\n';
    }
    return text;
}

std::string WindowTest::cell(std::string_view table, std::string_view rowKey, std::string_view columnKey) {
    const auto found = window_->session().results()->table(table);
    for (const Row& row : found->rows) {
        for (std::size_t i = 0; row.key == rowKey && i < found->columns.size(); ++i) {
            if (found->columns[i].key == columnKey) {
                return shownText(row.cells[i], found->columns[i]);
            }
        }
    }
    ADD_FAILURE() << "no cell " << table << " " << rowKey << " " << columnKey;
    return {};
}

}  // namespace aftercurve::test
