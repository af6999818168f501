#pragma once

#include <QString>

#include "core/edit/edit.h"

namespace aftercurve {

class SettingControls;

// What the tabs of In vitro and Tolerance hang on, as controls on the tab where each acts.
void fractionSettings(SettingControls& settings);
void curveSettings(SettingControls& settings);
void comparedSettings(SettingControls& settings);
void fibreSettings(SettingControls& settings);
void statementSettings(SettingControls& settings);
void recipeSettings(SettingControls& settings);
void compositeSettings(SettingControls& settings);
void diaryDaySettings(SettingControls& settings);
/// What the readings are; beside the table of the readings.
void quantitySettings(SettingControls& settings);

// Whether a study has what the tables of results are made of.
bool hasAssays(const Study& study);
bool hasFibre(const Study& study);
bool hasDiary(const Study& study);
bool hasEvents(const Study& study);

/// Source and date of the fibre rule that the study asks for, and that it is no advice.
QString fibreRuleNote(const Study& study);

}  // namespace aftercurve
