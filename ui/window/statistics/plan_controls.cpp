#include "ui/window/statistics/plan_controls.h"

namespace aftercurve {

PlanControls::PlanControls(Session& session, const QString& name, QWidget* parent)
    : ControlRow(name, parent), session_(session) {
    connect(&session_, &Session::planChanged, this, &PlanControls::showPlan);
    connect(&session_, &Session::studyOpened, this, &PlanControls::showPlan);
    connect(&session_, &Session::studyEdited, this, &PlanControls::showPlan);
}

void PlanControls::edit(const Plan& plan) {
    if (session_.hasStudy() && !(plan == session_.plan())) {
        session_.editPlan(plan, PlanPart::whole);
    }
}

void PlanControls::addChoice(const QString& key, const QString& label, const std::vector<Word>& words,
                             std::function<std::string(const Plan&)> get,
                             std::function<void(Plan&, const std::string&)> set) {
    addStudyChoice(
        key, label, [words](const Study&) { return words; }, std::move(get), std::move(set));
}

void PlanControls::addStudyChoice(const QString& key, const QString& label,
                                  std::function<std::vector<Word>(const Study&)> words,
                                  std::function<std::string(const Plan&)> get,
                                  std::function<void(Plan&, const std::string&)> set) {
    placeChoice(
        key, label, [this, words = std::move(words)] { return words(*session_.study()); },
        [this, get = std::move(get)] { return get(session_.plan()); },
        [this, set = std::move(set)](const std::string& word) {
            Plan plan = session_.plan();
            set(plan, word);
            edit(plan);
        });
}

void PlanControls::addCheck(const QString& key, const QString& label, std::function<bool(const Plan&)> get,
                            std::function<void(Plan&, bool)> set) {
    placeCheck(
        key, label, [this, get = std::move(get)] { return get(session_.plan()); },
        [this, set = std::move(set)](bool on) {
            Plan plan = session_.plan();
            set(plan, on);
            edit(plan);
        });
}

void PlanControls::addText(const QString& key, const QString& label, const QString& tip, int letters,
                           std::function<QString(const Plan&)> get,
                           std::function<bool(Plan&, const QString&)> set) {
    placeText(
        key, label, tip, letters, [this, get = std::move(get)] { return get(session_.plan()); },
        [this, set = std::move(set)](const QString& text) {
            Plan plan = session_.plan();
            const bool read = set(plan, text);
            if (read) {
                edit(plan);
            }
            return read;
        });
}

void PlanControls::addNumber(const QString& key, const QString& label, const QString& tip,
                             std::function<std::optional<double>(const Plan&)> get,
                             std::function<void(Plan&, std::optional<double>)> set, bool optional) {
    placeNumber(
        key, label, tip, [this, get = std::move(get)] { return get(session_.plan()); },
        [this, set = std::move(set)](std::optional<double> value) {
            Plan plan = session_.plan();
            set(plan, value);
            edit(plan);
        },
        optional);
}

void PlanControls::addButton(const QString& key, const QString& label,
                             std::function<void(Session&, QWidget*)> act) {
    placeButton(key, label, [this, act = std::move(act)] {
        if (session_.hasStudy()) {
            act(session_, window());
        }
    });
}

void PlanControls::showPlan() {
    if (session_.hasStudy()) {
        showAll();
    }
}

}  // namespace aftercurve
