#pragma once

#include <QUndoCommand>
#include <vector>

#include "core/edit/edit.h"
#include "ui/window/edit/journal.h"
#include "ui/window/session.h"

namespace aftercurve {

/// One step of editing the study: changes that were tried and fit.
class StudyEdit : public QUndoCommand {
  public:
    /// `inverses` take `changes` back, in reverse order.
    StudyEdit(Session& session, QString name, std::vector<Change> changes, std::vector<Change> inverses,
              Authorship author);

    void undo() override;
    void redo() override;

  private:
    Session& session_;
    std::vector<Change> changes_;
    std::vector<Change> inverses_;
    Authorship author_;
    int step_;
};

}  // namespace aftercurve
