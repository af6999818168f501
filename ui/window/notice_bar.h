#pragma once

#include <QString>
#include <QWidget>
#include <functional>
#include <vector>

#include "core/base/problem.h"

class QVBoxLayout;

namespace aftercurve {

/// One thing that a notice offers to do; the notice goes when it is done.
struct NoticeAction {
    QString text;
    QString name;  ///< object name of its button
    std::function<void()> run;
};

/// Lines above the page that stay until they are dealt with: changes left by a program that ended early, a
/// folder open elsewhere, files changed by another program, exclusions set aside. Nothing pops up in front of
/// the work.
class NoticeBar : public QWidget {
    Q_OBJECT

  public:
    explicit NoticeBar(QWidget* parent = nullptr);

    /// Shows a notice; one of the same key is replaced.
    void tell(const QString& key, Severity severity, const QString& text,
              const std::vector<NoticeAction>& actions = {});
    void take(const QString& key);
    void clear();
    /// The text of a notice; empty where there is none of that key.
    QString textOf(const QString& key) const;

  private:
    QWidget* find(const QString& key) const;

    QVBoxLayout* column_;
};

}  // namespace aftercurve
