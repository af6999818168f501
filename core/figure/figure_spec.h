#pragma once

#include <string>
#include <vector>

#include "core/figure/figure_style.h"

namespace aftercurve {

/// How the panels of a figure are lettered.
enum class PanelLetters { none, capital, small };

/// One panel: which kind of figure, of what, and what is particular to it. Empty fields mean: all, or the
/// plan's choice.
struct PanelSpec {
    std::string kind;  ///< key of a kind of figure: "curves_mean"
    std::string analyte;
    std::string measure;
    std::string food;
    std::string subject;
    int visit = 0;  ///< 0: all visits
    int page = 0;   ///< curves of each subject, of more subjects than a page can hold: from 1; 0 is the first
    PanelFrame frame;

    bool operator==(const PanelSpec&) const = default;
};

/// A figure of a manuscript as the study keeps it: what its panels show and how it is drawn. Its numbers come
/// from the findings whenever it is drawn.
struct FigureSpec {
    std::string id;       ///< unique in the study; names its files
    std::string title;    ///< of the caption; empty: after its panels
    std::string caption;  ///< in the writer's own words; empty: written by the program
    std::vector<PanelSpec> panels;
    int columns = 1;                               ///< panels side by side
    PanelLetters letters = PanelLetters::capital;  ///< where there is more than one panel
    FigureStyle style;  ///< of the whole; its frame is not used: each panel has its own

    bool operator==(const FigureSpec&) const = default;
};

}  // namespace aftercurve
