#pragma once

#include "ui/window/session.h"
#include "ui/window/statistics/control_row.h"

namespace aftercurve {

/// A row of controls that are settings of the study itself (of its assays, its fibre, its diaries): each
/// shows what the study says and changes it, as one step that can be undone and that goes into the ledger.
class SettingControls : public ControlRow {
    Q_OBJECT

  public:
    /// How a study whose settings were edited becomes a change.
    using ChangeOf = Change (*)(const Study& edited);

    SettingControls(Session& session, const QString& name, QWidget* parent);

    /// What the controls added from here on change; `step` is what the undo list calls it.
    void changeBy(ChangeOf change, const QString& step);
    /// For a choice whose words hang on the study (its fibre rules).
    void addChoice(const QString& key, const QString& label,
                   std::function<std::vector<Word>(const Study&)> words,
                   std::function<std::string(const Study&)> get,
                   std::function<void(Study&, const std::string&)> set);
    void addCheck(const QString& key, const QString& label, std::function<bool(const Study&)> get,
                  std::function<void(Study&, bool)> set);
    void addText(const QString& key, const QString& label, const QString& tip, int letters,
                 std::function<QString(const Study&)> get, std::function<bool(Study&, const QString&)> set);
    void addNumber(const QString& key, const QString& label, const QString& tip,
                   std::function<std::optional<double>(const Study&)> get,
                   std::function<void(Study&, std::optional<double>)> set, bool optional);
    /// A button that opens a dialog over the open study.
    void addButton(const QString& key, const QString& label, std::function<void(Session&, QWidget*)> act);

  Q_SIGNALS:
    /// A setting was not changed, and why; the control shows again what holds.
    void refused(const aftercurve::Problem& problem);

  private:
    void showStudy();
    void edit(const std::function<void(Study&)>& set, ChangeOf change, const QString& step);

    Session& session_;
    ChangeOf change_ = nullptr;
    QString step_;
};

}  // namespace aftercurve
