#pragma once

#include "core/findings/table.h"

namespace aftercurve {

// Tables of what the study is, for the report. Their keys begin with "study_" and are none of tableList().

/// Foods with role, portion, available carbohydrate and, where stated, serving and composition.
Table foodsOverview(const Study& study);

/// Analytes with unit and specimen.
Table analytesOverview(const Study& study);

/// How the study was run, as its people state it; "not stated" where they do not.
Table conductOverview(const Study& study);

/// Every choice of a plan by its key in study.json, with its value as it ran.
Table planOverview(const Plan& plan);

}  // namespace aftercurve
