#include "ui/window/plan_edit.h"

#include <QCoreApplication>

namespace aftercurve {

namespace {

QString nameFor(PlanPart part) {
    const auto say = [](const char* text) { return QCoreApplication::translate("PlanEdit", text); };
    switch (part) {
        case PlanPart::measure:
            return say("change of measure");
        case PlanPart::secondary:
            return say("change of further measures");
        case PlanPart::windowEnd:
            return say("change of window");
        case PlanPart::baseline:
            return say("change of baseline");
        case PlanPart::gaps:
            return say("change of the rule for gaps");
        case PlanPart::comparator:
            return say("change of comparator");
        case PlanPart::alpha:
            return say("change of α");
        case PlanPart::multiplicity:
            return say("change of adjustment");
        case PlanPart::index:
            return say("change of index");
        case PlanPart::assay:
            return say("change of an assay rule");
        case PlanPart::whole:
            return say("change of the plan");
    }
    return {};
}

}  // namespace

PlanEdit::PlanEdit(Session& session, const Plan& before, const Plan& after, PlanPart part)
    : QUndoCommand(nameFor(part)), session_(session), before_(before), after_(after), part_(part) {}

void PlanEdit::undo() {
    session_.setPlan(before_);
}

void PlanEdit::redo() {
    session_.setPlan(after_);
}

int PlanEdit::id() const {
    return static_cast<int>(part_);
}

bool PlanEdit::mergeWith(const QUndoCommand* other) {
    // Numbers come key by key and arrow by arrow; a choice from a list is a step of its own.
    if (part_ != PlanPart::windowEnd && part_ != PlanPart::alpha) {
        return false;
    }
    const auto* next = dynamic_cast<const PlanEdit*>(other);
    if (next == nullptr || next->part_ != part_) {
        return false;
    }
    after_ = next->after_;
    setObsolete(after_ == before_);
    return true;
}

}  // namespace aftercurve
