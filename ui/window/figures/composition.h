#pragma once

#include <span>
#include <string>
#include <string_view>
#include <vector>

#include "core/figure/figure_spec.h"
#include "core/findings/findings.h"
#include "core/study/study.h"
#include "ui/figures/figure.h"

namespace aftercurve {

// What a writer does to the list of figures, as functions of the list.

/// Where a key is put that goes inside its panel.
inline constexpr KeyPlace keyInside{0.6, 0.05};

/// Kinds of figures that a study may have; not those of planning, which is before it.
std::vector<const FigureKind*> composableKinds();

/// `wish`, or `wish` with "-2", "-3" ... where the list has that id; cut where it would be too long.
std::string freeFigureId(std::span<const FigureSpec> figures, std::string_view wish);

/// A figure of one panel of that kind, of all foods and the plan's choices, as wide and high as a default
/// figure of the kind.
FigureSpec newFigure(std::span<const FigureSpec> figures, std::string_view kind, const Study& study);

/// Puts figures behind those there are, each with an id of its own.
void append(std::vector<FigureSpec>& figures, std::vector<FigureSpec> more);

/// Puts a copy of a figure behind it.
void duplicate(std::vector<FigureSpec>& figures, std::size_t at);

}  // namespace aftercurve
