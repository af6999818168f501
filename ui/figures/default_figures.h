#pragma once

#include <string>
#include <string_view>
#include <vector>

#include "core/figure/figure_spec.h"
#include "core/findings/findings.h"
#include "core/study/study.h"

namespace aftercurve {

/// The figures of a study that lays down none of its own: each kind that it has something for, for each
/// analyte, one panel each. Ids: `<key>_<analyte>`, `<key>` alone where it is of the whole study, and
/// `comparison_paired_<analyte>_<food>` for each comparison of the plan's measure (`agreement` likewise);
/// anything but letters, digits and hyphens in an id of the study becomes a hyphen, and ids that then
/// coincide get "-2", "-3" ..., as do the further pages of the curves of many subjects.
std::vector<FigureSpec> defaultFigures(const Study& study, const Findings& findings);

/// The study's own figures, or the default ones where it has none.
std::vector<FigureSpec> figuresOf(const Study& study, const Findings& findings);

/// Of the caption: the spec's own, or after its panels: "Mean curves: Glucose".
std::string titleOf(const FigureSpec& spec, const Study& study);

/// Height of a default figure of that kind, mm: many subjects, the flow of them, and symptoms of many foods
/// need more than a figure of one panel.
double heightFor(std::string_view kind, const Study& study);

/// An id as part of a file name: only a-z, 0-9 and hyphens; "x" where nothing is left.
std::string fileNamePart(std::string_view id);

}  // namespace aftercurve
