#pragma once

#include <QWidget>
#include <functional>

#include "ui/window/session.h"

class QComboBox;
class QHBoxLayout;
class QLabel;
class QPushButton;
class QSplitter;
class QVBoxLayout;

namespace aftercurve {

class FigureView;
class ResultView;

/// One step's page. It listens to the session itself; the window asks it only what can be copied or exported.
class Page : public QWidget {
    Q_OBJECT

  public:
    explicit Page(Session& session, QWidget* parent) : QWidget(parent), session_(session) {}

    virtual FigureView* figure() { return nullptr; }
    virtual ResultView* table() { return nullptr; }

  protected:
    Session& session_;
};

/// A label and its choice side by side; the pair is hidden where there is nothing to choose.
class Chooser : public QWidget {
    Q_OBJECT

  public:
    Chooser(const QString& label, const QString& objectName, QWidget* parent);

    QComboBox& box() { return *box_; }
    /// Data of the current choice, empty where there is none.
    std::string value() const;
    void clear();
    void add(const QString& text, const std::string& value);

  Q_SIGNALS:
    void chosen();

  private:
    QComboBox* box_;
};

/// Words for a place that has nothing to show: what is missing, and what to do. `code` is shown as it would
/// be written in a file.
class EmptyNotice : public QWidget {
    Q_OBJECT

  public:
    explicit EmptyNotice(QWidget* parent);
    void setWords(const QString& title, const QString& text, const QString& code = {});
    /// A button under the words, after those there are.
    QPushButton* addButton(const QString& text, const QString& objectName, const std::function<void()>& act);

  private:
    QHBoxLayout* buttons_;
    QLabel* title_;
    QLabel* text_;
    QLabel* code_;
};

/// The column that a page is laid out in, with the margins of every page.
QVBoxLayout* pageColumn(QWidget* page);
/// A row of page controls with the margins that every page uses.
QHBoxLayout* controlRow(QWidget* page);
/// A small heading over a table or a figure.
QLabel* heading(const QString& text, QWidget* parent);
/// A sentence of results that can be selected and copied.
QLabel* resultSentence(const QString& objectName, const QString& accessibleName, QWidget* parent);
/// The page of a table with the detail of its chosen row: the table on top; below it the sentence over each
/// subject's values, and the picture.
QSplitter* tableOverDetail(QWidget* page, ResultView* table, QLabel* sentence, ResultView* subjects,
                           QWidget* picture);
/// Fills a chooser with the analytes of the study, and hides it where there is only one.
void fillAnalytes(Chooser& chooser, const Study& study);

}  // namespace aftercurve
