#include "ui/window/edit/study_edit.h"

#include <QCoreApplication>

namespace aftercurve {

StudyEdit::StudyEdit(Session& session, QString name, std::vector<Change> changes,
                     std::vector<Change> inverses, Authorship author)
    : QUndoCommand(std::move(name)),
      session_(session),
      changes_(std::move(changes)),
      inverses_(std::move(inverses)),
      author_(std::move(author)),
      step_(session.nextStep()) {}

void StudyEdit::redo() {
    session_.makeChanges(changes_, step_, author_);
}

void StudyEdit::undo() {
    session_.takeBackChanges({inverses_.rbegin(), inverses_.rend()}, step_, author_);
}

}  // namespace aftercurve
