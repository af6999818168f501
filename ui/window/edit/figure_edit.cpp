#include "ui/window/edit/figure_edit.h"

#include <utility>

namespace aftercurve {

namespace {

/// Apart from the ids of PlanEdit, which are the parts of the plan.
constexpr int figureEditId = 1000;

}  // namespace

FigureEdit::FigureEdit(Session& session, std::vector<FigureSpec> before, std::vector<FigureSpec> after,
                       const QString& name, QString part)
    : QUndoCommand(name),
      session_(session),
      before_(std::move(before)),
      after_(std::move(after)),
      part_(std::move(part)) {}

void FigureEdit::undo() {
    session_.setFigures(before_);
}

void FigureEdit::redo() {
    session_.setFigures(after_);
}

int FigureEdit::id() const {
    return part_.isEmpty() ? -1 : figureEditId;
}

bool FigureEdit::mergeWith(const QUndoCommand* other) {
    const auto* next = dynamic_cast<const FigureEdit*>(other);
    if (next == nullptr || next->part_ != part_) {
        return false;
    }
    after_ = next->after_;
    setObsolete(after_ == before_);
    return true;
}

}  // namespace aftercurve
