#include "ui/window/statistics/laboratory_settings.h"

#include <QCoreApplication>
#include <algorithm>

#include "core/edit/settings_edits.h"
#include "core/fibre/fibre_rules.h"
#include "ui/models/text.h"
#include "ui/window/edit/fibre_rules_form.h"
#include "ui/window/edit/repeatability_form.h"
#include "ui/window/statistics/setting_controls.h"

namespace aftercurve {

namespace {

struct SettingsText {
    Q_DECLARE_TR_FUNCTIONS(LaboratorySettings)
};

QString say(const char* text) {
    return SettingsText::tr(text);
}

Change assayChange(const Study& edited) {
    return SetAssaySettings{settingsOf(edited.assays)};
}

Change fibreChange(const Study& edited) {
    return SetFibreSettings{settingsOf(edited.fibre)};
}

Change diaryChange(const Study& edited) {
    return SetDiarySettings{settingsOf(edited.diary)};
}

void changeAssays(SettingControls& settings) {
    settings.changeBy(assayChange, say("change of an assay setting"));
}

void addMinutes(SettingControls& settings, const char* key, const QString& label, const QString& tip,
                double AssayData::*member) {
    settings.addNumber(
        QLatin1String(key), label, tip, [member](const Study& study) { return study.assays.*member; },
        [member](Study& study, std::optional<double> value) { study.assays.*member = *value; }, false);
}

/// 0 stands for the last common time, which the control leaves empty.
void addLastTime(SettingControls& settings) {
    settings.addNumber(
        QStringLiteral("last"), say("Last time (min)"),
        say("End of the series and of the areas, not before the slow cut; empty: the last time that all "
            "digestions have"),
        [](const Study& study) {
            return study.assays.lastMin > 0.0 ? std::optional(study.assays.lastMin) : std::nullopt;
        },
        [](Study& study, std::optional<double> value) { study.assays.lastMin = value.value_or(0.0); }, true);
}

void addBasis(SettingControls& settings) {
    const std::vector<ControlRow::Word> words{{say("total starch"), "total-starch"},
                                              {say("dry matter"), "dry"},
                                              {say("sample as weighed"), "as-is"}};
    settings.addChoice(
        QStringLiteral("basis"), say("Fractions in % of"), [words](const Study&) { return words; },
        [](const Study& study) { return std::string{wordFor(study.assays.basis)}; },
        [](Study& study, const std::string& word) {
            study.assays.basis = assayBasisFrom(word).value_or(study.assays.basis);
        });
}

void changeFibre(SettingControls& settings) {
    settings.changeBy(fibreChange, say("change of a fibre setting"));
}

void addFibreTarget(SettingControls& settings) {
    settings.addNumber(
        QStringLiteral("target"), say("Intake to reach (g of fibre)"),
        say("Servings are counted for it, above 0; empty: the intake that the plan names"),
        [](const Study& study) { return study.fibre.targetG; },
        [](Study& study, std::optional<double> value) { study.fibre.targetG = value; }, true);
}

void changeDiary(SettingControls& settings) {
    settings.changeBy(diaryChange, say("change of a diary setting"));
}

}  // namespace

void fractionSettings(SettingControls& settings) {
    changeAssays(settings);
    addMinutes(settings, "rapidCut", say("Rapid until (min)"),
               say("What is digested until then is the rapid fraction; above 0"), &AssayData::rapidCutMin);
    addMinutes(settings, "slowCut", say("Slow until (min)"),
               say("What is digested between the rapid cut and this one is the slow fraction; above the "
                   "rapid cut"),
               &AssayData::slowCutMin);
    settings.addNumber(
        QStringLiteral("factor"), say("Starch per glucose"),
        say("Above 0, up to 1; 0.9 is 162 / 180, the mass of a bound glucose over that of a free one"),
        [](const Study& study) { return study.assays.glucoseToStarch; },
        [](Study& study, std::optional<double> value) { study.assays.glucoseToStarch = *value; }, false);
    addBasis(settings);
    settings.addCheck(
        QStringLiteral("interpolate"), say("straight line at a cut without a reading"),
        [](const Study& study) { return study.assays.interpolate; },
        [](Study& study, bool on) { study.assays.interpolate = on; });
}

void curveSettings(SettingControls& settings) {
    changeAssays(settings);
    addLastTime(settings);
}

void comparedSettings(SettingControls& settings) {
    changeAssays(settings);
    const std::vector<ControlRow::Word> words{{say("every two samples (Tukey)"), "tukey"},
                                              {say("each with the reference (Dunnett)"), "dunnett"},
                                              {say("every two samples, p not adjusted"), "none"}};
    settings.addChoice(
        QStringLiteral("comparison"), say("Compare"), [words](const Study&) { return words; },
        [](const Study& study) { return study.assays.comparison; },
        [](Study& study, const std::string& word) { study.assays.comparison = word; });
    addBasis(settings);
}

void quantitySettings(SettingControls& settings) {
    changeAssays(settings);
    const std::vector<ControlRow::Word> words{{say("glucose in the whole digest (mg)"), "glucose-mg"},
                                              {say("digested starch (% of total starch)"), "starch-percent"}};
    settings.addChoice(
        QStringLiteral("quantity"), say("Values are"), [words](const Study&) { return words; },
        [](const Study& study) { return std::string{wordFor(study.assays.quantity)}; },
        [](Study& study, const std::string& word) {
            study.assays.quantity = assayQuantityFrom(word).value_or(study.assays.quantity);
        });
}

void fibreSettings(SettingControls& settings) {
    changeFibre(settings);
    settings.addButton(QStringLiteral("repeatability"), say("Own repeatability…"), askForRepeatability);
}

void statementSettings(SettingControls& settings) {
    changeFibre(settings);
    settings.addChoice(
        QStringLiteral("region"), say("Rule of"),
        [](const Study& study) {
            std::vector<ControlRow::Word> words{{say("none: no statements"), ""}};
            for (const FibreRule& rule : fibreRulesOf(study.fibre)) {
                const bool own = std::any_of(study.fibre.rules.begin(), study.fibre.rules.end(),
                                             [&rule](const FibreRule& one) { return one.key == rule.key; });
                words.push_back(
                    {own ? say("%1 (this study's own)").arg(shown(rule.title)) : shown(rule.title),
                     rule.key});
            }
            return words;
        },
        [](const Study& study) { return study.fibre.region; },
        [](Study& study, const std::string& word) { study.fibre.region = word; });
    settings.addButton(QStringLiteral("rules"), say("Rules of this study…"), askForFibreRules);
    addFibreTarget(settings);
}

void recipeSettings(SettingControls& settings) {
    changeFibre(settings);
    addFibreTarget(settings);
}

void compositeSettings(SettingControls& settings) {
    changeDiary(settings);
    settings.addCheck(
        QStringLiteral("prorate"), say("scale the composite up where half of the items or more are scored"),
        [](const Study& study) { return study.diary.prorate; },
        [](Study& study, bool on) { study.diary.prorate = on; });
}

void diaryDaySettings(SettingControls& settings) {
    changeDiary(settings);
    settings.addText(
        QStringLiteral("planned"), say("Planned days of each food"),
        say("A whole number from 1 to 1000, of each subject, food and period; empty: the largest day of the "
            "diary"),
        4,
        [](const Study& study) {
            return study.diary.plannedDays > 0 ? QString::number(study.diary.plannedDays) : QString();
        },
        [](Study& study, const QString& text) {
            bool isWhole = true;
            study.diary.plannedDays = text.trimmed().isEmpty() ? 0 : text.trimmed().toInt(&isWhole);
            return isWhole && (text.trimmed().isEmpty() || study.diary.plannedDays > 0);
        });
}

bool hasAssays(const Study& study) {
    return !study.assays.readings.empty();
}

bool hasFibre(const Study& study) {
    return !study.fibre.results.empty() || !study.fibre.recipes.empty();
}

bool hasDiary(const Study& study) {
    return !study.diary.days.empty();
}

bool hasEvents(const Study& study) {
    return !study.diary.events.empty();
}

QString fibreRuleNote(const Study& study) {
    for (const FibreRule& rule : fibreRulesOf(study.fibre)) {
        if (rule.key == study.fibre.region) {
            return say("%1. Source: %2. State of %3. %4.")
                .arg(asSentence(shown(rule.definition)), shown(rule.source),
                     rule.on.empty() ? say("a date not given") : shown(rule.on),
                     asSentence(shown(checkWithAuthority)));
        }
    }
    return study.fibre.region.empty() ? say("No rule is asked for, so that nothing is said of a label. %1.")
                                            .arg(asSentence(shown(checkWithAuthority)))
                                      : say("No rule has the key “%1”.").arg(shown(study.fibre.region));
}

}  // namespace aftercurve
