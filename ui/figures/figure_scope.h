#pragma once

#include <QString>
#include <string_view>

#include "core/figure/figure_style.h"
#include "core/study/study.h"

namespace aftercurve {

/// While it lives, names, numbers and units of this thread are given as this style asks: its language, its
/// labels and looks of foods, its unit of concentrations. Scopes nest. The style must outlive it.
class FigureScope {
  public:
    explicit FigureScope(const FigureStyle& style);
    ~FigureScope();
    FigureScope(const FigureScope&) = delete;
    FigureScope& operator=(const FigureScope&) = delete;

    /// The style of the innermost scope; null outside of all.
    static const FigureStyle* current();

  private:
    const FigureStyle* outer_;
};

/// How the style in force draws a food; null where it says nothing about it.
const FoodAppearance* appearanceOf(std::string_view foodId);

/// A number as text with the decimal mark of the language in force: a comma between digits in German and
/// Swedish.
QString localised(QString text);

/// The unit in which values are shown: value shown = value · factor.
struct ShownUnit {
    QString unit;
    double factor = 1.0;
};

/// The panel's unit where the analyte is converted to it (core/study/units.h), else the study's.
ShownUnit shownUnit(const Study& study, std::string_view analyteId);

/// The same of a measure: of areas, levels and rates; minutes stay minutes. With spaces that do not break.
ShownUnit shownMeasureUnit(const Study& study, std::string_view analyteId, std::string_view measureKey);

}  // namespace aftercurve
