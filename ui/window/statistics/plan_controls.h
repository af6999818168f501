#pragma once

#include "ui/window/session.h"
#include "ui/window/statistics/control_row.h"

namespace aftercurve {

/// A row of controls that are parts of the plan: each shows what the plan says and changes it, as one step
/// that can be undone.
class PlanControls : public ControlRow {
    Q_OBJECT

  public:
    PlanControls(Session& session, const QString& name, QWidget* parent);

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
    void addText(const QString& key, const QString& label, const QString& tip, int letters,
                 std::function<QString(const Plan&)> get, std::function<bool(Plan&, const QString&)> set);
    void addNumber(const QString& key, const QString& label, const QString& tip,
                   std::function<std::optional<double>(const Plan&)> get,
                   std::function<void(Plan&, std::optional<double>)> set, bool optional);
    /// A button that does something with the open study.
    void addButton(const QString& key, const QString& label, std::function<void(Session&, QWidget*)> act);

  private:
    void showPlan();
    void edit(const Plan& plan);

    Session& session_;
};

}  // namespace aftercurve
