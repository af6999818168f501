#include <algorithm>
#include <array>
#include <cassert>

#include "ui/figures/agreement_plot.h"
#include "ui/figures/comparison_estimates.h"
#include "ui/figures/comparison_paired.h"
#include "ui/figures/curves_increment.h"
#include "ui/figures/curves_mean.h"
#include "ui/figures/curves_subjects.h"
#include "ui/figures/figure.h"
#include "ui/figures/figure_frame.h"
#include "ui/figures/flow_diagram.h"
#include "ui/figures/index_pairs_rows.h"
#include "ui/figures/index_values.h"
#include "ui/figures/index_ways_rows.h"
#include "ui/figures/influence_rows.h"
#include "ui/figures/insulin_values.h"
#include "ui/figures/margin_rows.h"
#include "ui/figures/meals_plot.h"
#include "ui/figures/model_residuals_plot.h"
#include "ui/figures/model_rows.h"
#include "ui/figures/normal_quantile_plot.h"
#include "ui/figures/planning_power.h"
#include "ui/figures/portion_bars.h"
#include "ui/figures/sensitivity_rows.h"
#include "ui/figures/sub_windows_plot.h"
#include "ui/figures/time_course_plot.h"
#include "ui/figures/within_subject_plot.h"

namespace aftercurve {

std::span<const FigureKind> figureList() {
    static const std::array list{framed<curvesSubjectsFigure>(),
                                 framed<curvesMeanFigure>(),
                                 framed<curvesIncrementFigure>(),
                                 framed<comparisonPairedFigure>(),
                                 framed<comparisonEstimatesFigure>(),
                                 framed<agreementFigure>(),
                                 framed<modelDifferencesFigure>(),
                                 framed<modelResidualsFigure>(),
                                 framed<timeCourseFigure>(),
                                 framed<marginDifferencesFigure>(),
                                 framed<marginRatiosFigure>(),
                                 framed<influenceFigure>(),
                                 framed<normalQuantilesFigure>(),
                                 framed<sensitivityFigure>(),
                                 framed<indexFigure>(),
                                 framed<indexWaysFigure>(),
                                 framed<indexPairsFigure>(),
                                 framed<mealsFigure>(),
                                 framed<portionsFigure>(),
                                 framed<insulinFigure>(),
                                 framed<subWindowsFigure>(),
                                 framed<withinSubjectFigure>(),
                                 framed<planningPowerFigure>(),
                                 framed<flowDiagramFigure>()};
    return list;
}

const FigureKind& figureKind(std::string_view key) {
    const auto list = figureList();
    const auto found =
        std::find_if(list.begin(), list.end(), [&](const FigureKind& kind) { return kind.key == key; });
    assert(found != list.end());
    return *found;
}

}  // namespace aftercurve
