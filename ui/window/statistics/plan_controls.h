#pragma once

#include <QWidget>
#include <functional>
#include <optional>
#include <string>
#include <vector>

#include "ui/window/session.h"

class QHBoxLayout;

namespace aftercurve {

class FlowLayout;

/// A row of controls that are parts of the plan: each shows what the plan says and changes it, as one step
/// that can be undone.
class PlanControls : public QWidget {
    Q_OBJECT

  public:
    PlanControls(Session& session, const QString& name, QWidget* parent);

    /// One word of the plan, out of a list.
    struct Word {
        QString text;
        std::string word;
    };
    void addChoice(const QString& key, const QString& label, const std::vector<Word>& words,
                   std::function<std::string(const Plan&)> get,
                   std::function<void(Plan&, const std::string&)> set);
    /// The same, with words that hang on the study (its analytes).
    void addStudyChoice(const QString& key, const QString& label,
                        std::function<std::vector<Word>(const Study&)> words,
                        std::function<std::string(const Plan&)> get,
                        std::function<void(Plan&, const std::string&)> set);
    void addCheck(const QString& key, const QString& label, std::function<bool(const Plan&)> get,
                  std::function<void(Plan&, bool)> set);
    /// A text that is read on Return or when it is left; `set` answers false where it cannot be read, and the
    /// control then says so and shows the plan again.
    void addText(const QString& key, const QString& label, const QString& tip, int letters,
                 std::function<QString(const Plan&)> get, std::function<bool(Plan&, const QString&)> set);
    /// A number, or nothing, in its own text.
    void addNumber(const QString& key, const QString& label, const QString& tip,
                   std::function<std::optional<double>(const Plan&)> get,
                   std::function<void(Plan&, std::optional<double>)> set, bool optional);

    /// A button that does something with the open study.
    void addButton(const QString& key, const QString& label, std::function<void(Session&, QWidget*)> act);

  private:
    void showPlan();
    void edit(const Plan& plan);
    void place(const QString& label, QWidget* control);

    Session& session_;
    QString name_;
    FlowLayout* row_;
    std::vector<std::function<void(const Plan&)>> show_;
    bool filling_ = false;
};

}  // namespace aftercurve
