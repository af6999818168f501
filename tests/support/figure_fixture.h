#pragma once

#include "core/findings/findings.h"
#include "core/study/study.h"

namespace aftercurve::fixture {

struct FigureInput {
    Study study;
    Findings findings;
};

/// An invented trial as a study: 8 subjects; glucose drink (reference, two visits), barley bread, pea
/// crispbread; glucose and insulin at −5, 0, 15, 30, 45, 60, 90, 120 min. One curve is excluded, one misses a
/// draw. No real data.
Study trialStudy();

/// Written out by hand, for exact checks: subjects 01 to 03, foods "drink" (reference) and "bread", glucose
/// at 0, 30, 60, 120 min; the bread curve of subject 03 is excluded; the last mean of bread has n 1 and so no
/// SEM. One comparison (subjects 01 and 02) and one index.
FigureInput smallInput();

/// trialStudy() with margins in its plan and the barley bread as a meal of two parts, and what `analyse`
/// makes of it.
FigureInput analysedTrial();

}  // namespace aftercurve::fixture
