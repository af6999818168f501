#pragma once

#include <QString>

#include "ui/window/session.h"
#include "ui/window/step_bar.h"

namespace aftercurve {

/// The line under a step's name: "416 draws, 2 empty".
QString statusOf(Step step, const Session& session);

/// Cells that changed in the tables of a step.
int changedIn(Step step, const Session& session);

}  // namespace aftercurve
