#pragma once

#include <QString>
#include <QUndoCommand>
#include <vector>

#include "core/figure/figure_spec.h"
#include "ui/window/session.h"

namespace aftercurve {

/// One change of the study's figures. Changes of the same part, one after the other, are one step for the
/// reader, as text comes key by key and a key of a figure place by place.
class FigureEdit : public QUndoCommand {
  public:
    /// An empty `part` never merges.
    FigureEdit(Session& session, std::vector<FigureSpec> before, std::vector<FigureSpec> after,
               const QString& name, QString part);

    void undo() override;
    void redo() override;
    int id() const override;
    bool mergeWith(const QUndoCommand* other) override;

  private:
    Session& session_;
    std::vector<FigureSpec> before_;
    std::vector<FigureSpec> after_;
    QString part_;
};

}  // namespace aftercurve
