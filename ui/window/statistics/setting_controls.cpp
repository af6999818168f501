#include "ui/window/statistics/setting_controls.h"

namespace aftercurve {

SettingControls::SettingControls(Session& session, const QString& name, QWidget* parent)
    : ControlRow(name, parent), session_(session) {
    connect(&session_, &Session::studyOpened, this, &SettingControls::showStudy);
    connect(&session_, &Session::studyEdited, this, &SettingControls::showStudy);
}

void SettingControls::changeBy(ChangeOf change, const QString& step) {
    change_ = change;
    step_ = step;
}

void SettingControls::edit(const std::function<void(Study&)>& set, ChangeOf change, const QString& step) {
    Study edited = *session_.study();
    set(edited);
    if (edited == *session_.study()) {
        showStudy();
        return;
    }
    if (const Result<Done> done = session_.change({change(edited)}, step); !done) {
        showStudy();
        Q_EMIT refused(done.problem());
    }
}

void SettingControls::addChoice(const QString& key, const QString& label,
                                std::function<std::vector<Word>(const Study&)> words,
                                std::function<std::string(const Study&)> get,
                                std::function<void(Study&, const std::string&)> set) {
    placeChoice(
        key, label, [this, words = std::move(words)] { return words(*session_.study()); },
        [this, get = std::move(get)] { return get(*session_.study()); },
        [this, set = std::move(set), change = change_, step = step_](const std::string& word) {
            edit([&](Study& study) { set(study, word); }, change, step);
        });
}

void SettingControls::addCheck(const QString& key, const QString& label,
                               std::function<bool(const Study&)> get, std::function<void(Study&, bool)> set) {
    placeCheck(
        key, label, [this, get = std::move(get)] { return get(*session_.study()); },
        [this, set = std::move(set), change = change_, step = step_](bool on) {
            edit([&](Study& study) { set(study, on); }, change, step);
        });
}

void SettingControls::addText(const QString& key, const QString& label, const QString& tip, int letters,
                              std::function<QString(const Study&)> get,
                              std::function<bool(Study&, const QString&)> set) {
    placeText(
        key, label, tip, letters, [this, get = std::move(get)] { return get(*session_.study()); },
        [this, set = std::move(set), change = change_, step = step_](const QString& text) {
            Study read = *session_.study();
            if (!set(read, text)) {
                return false;
            }
            edit([&](Study& study) { set(study, text); }, change, step);
            return true;
        });
}

void SettingControls::addNumber(const QString& key, const QString& label, const QString& tip,
                                std::function<std::optional<double>(const Study&)> get,
                                std::function<void(Study&, std::optional<double>)> set, bool optional) {
    placeNumber(
        key, label, tip, [this, get = std::move(get)] { return get(*session_.study()); },
        [this, set = std::move(set), change = change_, step = step_](std::optional<double> value) {
            edit([&](Study& study) { set(study, value); }, change, step);
        },
        optional);
}

void SettingControls::addButton(const QString& key, const QString& label,
                                std::function<void(Session&, QWidget*)> act) {
    placeButton(key, label, [this, act = std::move(act)] { act(session_, window()); });
}

void SettingControls::showStudy() {
    showAll();
    setEnabled(session_.readOnlyBecause().isEmpty());
}

}  // namespace aftercurve
