#pragma once

#include <gtest/gtest.h>

#include <QAbstractItemView>
#include <QApplication>
#include <QSettings>
#include <QTableView>
#include <QTemporaryDir>
#include <functional>
#include <memory>

#include "ui/window/main_window.h"

namespace aftercurve::test {

/// Lets events run until `done` is true; false where that takes longer than `ms`.
bool waitUntil(const std::function<bool()>& done, int ms = 20000);

/// Copies a folder of files (not deep), so that a test may change the copy.
QString copyOfStudy(const QString& from, const QString& into);

/// A real window with settings in a folder of its own, and answers instead of dialogs.
class WindowTest : public testing::Test {
  protected:
    WindowTest();
    ~WindowTest() override;

    /// Opens a copy of a sample study and waits for its results.
    void openSample(const QString& name);
    void open(const QString& folder);
    bool waitForResults();

    template <class T>
    T& find(const char* name) {
        T* found = window_->findChild<T*>(QLatin1String(name));
        if (found == nullptr) {
            ADD_FAILURE() << "no widget " << name;
            std::abort();
        }
        return *found;
    }
    void press(const char* buttonName);
    void trigger(const char* actionName);
    void type(QWidget& widget, const QString& text);
    /// Types into a cell of a table as a person does.
    void typeInto(QTableView& view, const QModelIndex& cell, const QString& words);
    /// Types into a field of one line, and Return.
    void enter(const char* fieldName, const QString& text);
    /// Says who changes the study and why, in the fields of that stem.
    void giveReason(const QString& stem, const QString& why);
    QString inTemp(const QString& name) const { return temp_.filePath(name); }

    /// All that a table of the results says now.
    std::string textOf(std::string_view table);
    /// What a cell of the results says now, by table, row key and column key.
    std::string cell(std::string_view table, std::string_view rowKey, std::string_view columnKey);

    QTemporaryDir temp_;
    std::unique_ptr<QSettings> settings_;
    SaveAnswer answer_ = SaveAnswer::cancel;
    int asked_ = 0;
    QString file_;         ///< answer to "which file?"
    QString folder_;       ///< answer to "which folder?"
    QStringList chosen_;   ///< answer to "which files of the laboratory?"
    QString mappingFile_;  ///< answer to "which mapping?"
    std::unique_ptr<MainWindow> window_;

    std::unique_ptr<MainWindow> makeWindow();
};

}  // namespace aftercurve::test
