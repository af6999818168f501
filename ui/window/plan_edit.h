#pragma once

#include <QUndoCommand>

#include "core/study/plan.h"
#include "ui/window/session.h"

namespace aftercurve {

/// One change of the plan. Changes of the same part, one after the other, are one step for the reader.
class PlanEdit : public QUndoCommand {
  public:
    PlanEdit(Session& session, const Plan& before, const Plan& after, PlanPart part);

    void undo() override;
    void redo() override;
    int id() const override;
    bool mergeWith(const QUndoCommand* other) override;

  private:
    Session& session_;
    Plan before_;
    Plan after_;
    PlanPart part_;
};

}  // namespace aftercurve
