#pragma once

#include <QWidget>

#include "core/base/problem.h"
#include "ui/window/session.h"

class QLabel;
class QLineEdit;

namespace aftercurve {

/// Who changes the table under it, and why; below it, why the last change was not made.
class EditBar : public QWidget {
    Q_OBJECT

  public:
    EditBar(Session& session, const QString& name, QWidget* parent);

    /// Says why a change was not made, and leads to what is missing.
    void refuse(const Problem& problem);
    void tell(const QString& words);
    void clearWords();

  private:
    void readAuthorship();
    void showReadOnly();

    Session& session_;
    QLineEdit* by_;
    QLineEdit* why_;
    QWidget* fields_;
    QLabel* words_;
};

}  // namespace aftercurve
