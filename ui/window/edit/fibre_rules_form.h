#pragma once

#include <QStringList>
#include <QWidget>
#include <map>
#include <vector>

#include "core/base/result.h"
#include "core/study/fibre_rule.h"

class QComboBox;
class QLabel;
class QLineEdit;
class QListWidget;
class QPlainTextEdit;
class QPushButton;

namespace aftercurve {

class ListTable;
class Session;

/// The study's own rules of fibre: a list of them, and the chosen one as a form. A rule may begin as a copy
/// of a built-in one; with the key of a built-in rule it stands in its place.
class FibreRulesForm : public QWidget {
    Q_OBJECT

  public:
    FibreRulesForm(std::vector<FibreRule> rules, QWidget* parent);

    /// The rules as they stand in the form. Fails where a number is none; whether a rule makes sense is for
    /// the study to say.
    Result<std::vector<FibreRule>> rules();

  private:
    QWidget* listSide();
    QWidget* ruleSide();
    QWidget* definitionTab();
    QWidget* statementsTab();
    QWidget* labelTab();
    void addRule();
    void removeRule();
    void choose(int row);
    void showList(int current);
    void showRule(const FibreRule& rule);
    Result<FibreRule> readRule() const;
    /// Takes the form's text into the current rule; false, with the reason shown, where it cannot be read.
    bool keepRule();

    std::vector<FibreRule> rules_;
    int current_ = -1;  ///< in rules_; −1: none
    QListWidget* list_;
    QComboBox* from_;
    QPushButton* remove_;
    QWidget* rule_;
    QLineEdit* key_;
    QLineEdit* title_;
    QLineEdit* source_;
    QLineEdit* on_;
    QPlainTextEdit* definition_;
    std::map<FibrePart, QComboBox*> parts_;
    QLineEdit* methods_;
    ListTable* statements_;
    QComboBox* labelPer_;
    ListTable* rounding_;
    QLabel* fault_;
};

/// Opens the form in a dialog that asks who changes the rules and why.
void askForFibreRules(Session& session, QWidget* parent);

}  // namespace aftercurve
