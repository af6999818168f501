#pragma once

#include <QScrollArea>

#include "ui/takein/take_in_session.h"

class QVBoxLayout;

namespace aftercurve {

/// The questions that must be answered, and under them everything that was guessed, the least sure first,
/// each with its reason. Clicking a guess leads to where it can be corrected.
class QuestionsPanel : public QScrollArea {
    Q_OBJECT

  public:
    QuestionsPanel(TakeInSession& session, QWidget* parent);

    /// Questions without an answer yet.
    int openQuestions() const;

  Q_SIGNALS:
    /// Key of the mapping that the reader wants to look at.
    void placeWanted(const std::string& key);
    void answered();

  private:
    void build();
    void showAnswers();
    QWidget* questionWidget(const Question& question, int number);
    QWidget* itemWidget(const GuessedItem& item);

    TakeInSession& session_;
    QWidget* inside_ = nullptr;
};

}  // namespace aftercurve
