#pragma once

#include <memory>
#include <span>
#include <string>
#include <string_view>

#include "core/figure/figure_style.h"
#include "core/findings/findings.h"
#include "core/planning/power.h"
#include "core/study/study.h"

class QCustomPlot;

namespace aftercurve {

/// What a figure shows. An empty field means: all, or the plan's choice.
struct FigureChoice {
    std::string analyte;  ///< empty: the first analyte
    std::string measure;  ///< empty: the plan's measure
    std::string food;     ///< empty: all foods (paired figure: the first comparison)
    std::string subject;  ///< increment figure: whose curve; empty: the mean curve
    int visit = 0;        ///< 0: all visits (increment figure: the first)
    std::shared_ptr<const PowerCurve> planning = {};  ///< number of subjects: what to draw; null: no figure
    int page = 0;                                     ///< curves of each subject: from 1; 0 is the first

    bool operator==(const FigureChoice&) const = default;
};

/// One kind of figure.
struct FigureKind {
    std::string_view key;    ///< file name stem: "curves_mean"
    std::string_view title;  ///< for people
    /// False where this study has nothing to draw (no index, no comparison); then the window says
    /// `emptyText`.
    bool (*available)(const Study& study, const Findings& findings, const FigureChoice& choice);
    std::string_view emptyText;
    /// Clears the plot and draws anew; does not call replot. Sizes are points of the style, scaled by the
    /// plot's device (the exporter sets the plot's size from the style). Computes no number: everything comes
    /// from the findings.
    void (*draw)(QCustomPlot& plot, const Study& study, const Findings& findings, const FigureChoice& choice,
                 const FigureStyle& style);
    bool ofTheWhole = false;  ///< of foods, laboratory or diary: the same for every analyte, and written once
};

/// All kinds of figures. A new one is one file and one line there; the headless program writes each available
/// one.
std::span<const FigureKind> figureList();

/// The figure of that key; the key must be in the list.
const FigureKind& figureKind(std::string_view key);

}  // namespace aftercurve
