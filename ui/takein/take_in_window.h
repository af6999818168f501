#pragma once

#include <QDialog>
#include <QStringList>
#include <functional>

#include "ui/takein/preview_model.h"
#include "ui/takein/take_in_session.h"

class QLabel;
class QLineEdit;
class QListWidget;
class QProgressBar;
class QPushButton;
class QTableView;
class QTabWidget;

namespace aftercurve {

class ColumnForm;
class ListForm;
class ProblemsView;
class QuestionsPanel;
class TableForm;

/// What the window asks of the outside; a test gives answers instead of dialogs.
struct TakeInAsks {
    std::function<QStringList(QWidget* parent)> files;           ///< of the laboratory
    std::function<QString(QWidget* parent)> folder;              ///< for the study
    std::function<QString(QWidget* parent, bool save)> mapping;  ///< a mapping file
};

/// Takes a laboratory's files in: what they hold is shown as it was understood, each part can be corrected,
/// and nothing is written before a person says so.
class TakeInWindow : public QDialog {
    Q_OBJECT

  public:
    TakeInWindow(TakeInAsks asks, QWidget* parent);

    void openFiles(const QStringList& files);
    TakeInSession& session() { return *session_; }

  Q_SIGNALS:
    /// The study was written; it is to be opened.
    void studyWritten(const QString& folder);

  private:
    void build();
    QWidget* buildLeft();
    QWidget* buildMiddle();
    QWidget* buildRight();
    QWidget* buildFoot();
    void showOpened();
    void showTable();
    void showTrial();
    void showState();
    void showPlace(const std::string& key);
    void showColumn(int column);
    void loadMapping();
    void saveMapping();
    void takeIn();

    TakeInAsks asks_;
    TakeInSession* session_;
    QLabel* state_ = nullptr;
    QProgressBar* progress_ = nullptr;
    QListWidget* tables_ = nullptr;
    TableForm* tableForm_ = nullptr;
    QTabWidget* middle_ = nullptr;
    QTableView* fileView_ = nullptr;
    FilePreviewModel* file_ = nullptr;
    QTableView* drawsView_ = nullptr;
    TextListModel* draws_ = nullptr;
    ProblemsView* problems_ = nullptr;
    QTabWidget* right_ = nullptr;
    QuestionsPanel* questions_ = nullptr;
    ColumnForm* columnForm_ = nullptr;
    QLineEdit* title_ = nullptr;
    QLineEdit* folder_ = nullptr;
    QPushButton* go_ = nullptr;
    QPushButton* stop_ = nullptr;
    bool filling_ = false;
};

}  // namespace aftercurve
