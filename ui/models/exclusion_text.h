#pragma once

#include <QString>

#include "core/study/study.h"

namespace aftercurve {

/// "excluded: vomited at 40 min (KM, 2026-03-02)", for the row that an exclusion takes out.
QString exclusionText(const Exclusion& exclusion);

}  // namespace aftercurve
