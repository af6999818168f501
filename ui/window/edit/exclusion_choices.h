#pragma once

#include <QString>
#include <vector>

#include "core/edit/edit.h"

namespace aftercurve {

/// One way to take a row out, as a menu offers it.
struct ExclusionChoice {
    QString text;
    QString name;  ///< of its action
    Exclusion exclusion;
};

/// What can be taken out at a row of the laboratory's tables or of the diary, from the narrowest to the
/// widest: a reading, its digestion, its run, its sample; a result of fibre, all of its method; a subject's
/// diary of one period, of one food, all. Empty for other tables.
std::vector<ExclusionChoice> exclusionChoices(const Study& study, StudyTable table, std::size_t row);

}  // namespace aftercurve
