#pragma once

#include <span>
#include <string>
#include <string_view>

#include "core/figure/figure_spec.h"
#include "core/findings/findings.h"
#include "core/study/study.h"

namespace aftercurve {

/// What stands under one kind of figure.
struct CaptionKind {
    std::string_view key;  ///< of the kind of figure: "curves_mean"
    /// Sentences on one panel: what it shows, n, what marks, lines and bars mean, the test behind them.
    std::string (*words)(const Study& study, const Findings& findings, const PanelSpec& panel);
};

/// One for each kind of figure. `captionOf` (core/findings/sentence.h) takes its words from here; a kind that
/// is not in the list has its title alone.
std::span<const CaptionKind> captionKinds();

}  // namespace aftercurve
