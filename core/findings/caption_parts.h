#pragma once

#include <cstddef>
#include <string>

#include "core/figure/figure_spec.h"
#include "core/findings/findings.h"
#include "core/study/study.h"

namespace aftercurve {

/// The analyte of a panel; where it names none, the first of the study.
std::string analyteOf(const Study& study, const PanelSpec& panel);
/// The measure of a panel; where it names none, the plan's. Its key, and in words.
std::string measureKeyOf(const Findings& findings, const PanelSpec& panel);
std::string measureOf(const Findings& findings, const PanelSpec& panel);
/// Whether a choice shows a thing; an empty one shows all.
bool shows(const std::string& choice, const std::string& thing);

/// Label of the food that others are compared with; "the comparator" where the plan has none.
std::string comparatorName(const Study& study, const std::string& food);
/// " (mmol/L)": the unit that the panel shows; empty where there is none.
std::string unitWords(const Study& study, const PanelSpec& panel);
/// "after Oat bread", "after each food".
std::string afterFood(const Study& study, const PanelSpec& panel);
/// With a capital letter.
std::string upper(std::string text);
/// "n = 8", "n = 6 to 8".
std::string countRange(std::size_t least, std::size_t most);
/// "SEM", "SD", "the half-width of the 95 % CI".
std::string spreadWords(FigureSpread spread, double alpha);
/// "95 % CI".
std::string intervalName(double alpha);
/// ", adjusted by Holm over the foods", ", not adjusted".
std::string adjustmentWords(const Plan& plan);
/// "There is no comparison to show.".
std::string noNumbers(const std::string& what);

struct CountSpan {
    std::size_t least = 0;
    std::size_t most = 0;
};
/// Pairs of the comparisons that a panel shows.
CountSpan pairCounts(const Study& study, const Findings& findings, const PanelSpec& panel);

/// Words of kinds about the index and about foods (core/findings/figure_captions.h).
std::string indexCaption(const Study& study, const Findings& findings, const PanelSpec& panel);
std::string indexWaysCaption(const Study& study, const Findings& findings, const PanelSpec& panel);
std::string indexPairsCaption(const Study& study, const Findings& findings, const PanelSpec& panel);
std::string mealsCaption(const Study& study, const Findings& findings, const PanelSpec& panel);
std::string portionsCaption(const Study& study, const Findings& findings, const PanelSpec& panel);
std::string insulinCaption(const Study& study, const Findings& findings, const PanelSpec& panel);
std::string subWindowsCaption(const Study& study, const Findings& findings, const PanelSpec& panel);
std::string withinSubjectCaption(const Study& study, const Findings& findings, const PanelSpec& panel);
std::string planningCaption(const Study& study, const Findings& findings, const PanelSpec& panel);
std::string flowCaption(const Study& study, const Findings& findings, const PanelSpec& panel);

}  // namespace aftercurve
