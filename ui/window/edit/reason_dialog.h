#pragma once

#include <QDialog>
#include <QStringList>
#include <functional>
#include <vector>

#include "core/edit/convert_unit.h"
#include "core/study/study.h"
#include "ui/window/session.h"

class QComboBox;
class QDialogButtonBox;
class QLabel;
class QLineEdit;
class QPushButton;

namespace aftercurve {

/// What a dialog that asks for a reason says.
struct ReasonWords {
    QString title;
    std::vector<QString> texts;  ///< paragraphs above the fields
    QString reasonLabel;         ///< "&Reason"
    QString placeholder;
    QString button;
    QString choiceLabel;  ///< of a choice above the reason; empty: none
    QStringList choices;
    /// The reason is the one beside the tables: it begins with that one, and becomes it.
    bool sharesReason = false;
};

/// Asks who decides something and why, and has it done. It stays open, with the words of the problem, where
/// it could not be done.
class ReasonDialog : public QDialog {
    Q_OBJECT

  public:
    /// `choice` is what was chosen; empty where there is no choice.
    using Act = std::function<Result<Done>(const Authorship& author, const QString& choice)>;

    /// `name` is the stem of the object names: "exclude" gives excludeDialog, exclude.reason, exclude.by and
    /// exclude.go.
    ReasonDialog(Session& session, const QString& name, const ReasonWords& words, Act act, QWidget* parent);

    /// Puts a form between the paragraphs and the reason; the dialog becomes its parent.
    void addForm(QWidget* form);

    void accept() override;

  private:
    void check();

    Session& session_;
    Act act_;
    bool sharesReason_;
    int formPlace_;  ///< in the column
    QLineEdit* reason_;
    QLineEdit* by_;
    QComboBox* choice_;
    QLabel* refusal_;
    QDialogButtonBox* buttons_;
    QPushButton* go_;
};

/// Excludes what `proposal` names (reason, by and date are asked for), as one step that can be undone.
void askToExclude(Session& session, const Exclusion& proposal, QWidget* parent);

/// Takes the exclusion at `position` away.
void askToCountAgain(Session& session, std::size_t position, QWidget* parent);

/// Lets a warning of a check stand, with a reason.
void askToAccept(Session& session, const Problem& problem, QWidget* parent);

/// Brings values that were typed in another unit to the unit of the study, after asking which unit it was.
void askToConvert(Session& session, const UnitScope& scope, QWidget* parent);

/// Registers the plan as it stands, with today's date and its hash.
void askToRegister(Session& session, QWidget* parent);

/// Takes back the acceptances that let this warning stand.
void askToOpenAgain(Session& session, const Problem& problem, QWidget* parent);

/// "subject 03, Rye bread, visit 1, glucose, 30 min", for an exclusion.
QString placeOf(const Exclusion& exclusion, const Study& study);

}  // namespace aftercurve
