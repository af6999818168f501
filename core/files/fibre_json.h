#pragma once

#include <cstddef>

#include "core/files/json_object.h"
#include "core/study/study.h"

namespace aftercurve {

inline constexpr std::size_t mostRecipes = 100;
inline constexpr std::size_t mostRecipeParts = 100;
inline constexpr std::size_t mostFibreRules = 50;
/// Largest mass of a recipe, g.
inline constexpr double largestMassG = 1e9;

/// "fibre", "fibre_rules" and "recipes" of study.json (docs/formats.md); the results of the file are read by
/// readFibreCsv. Fatal: a wrong type, a key that is needed and missing, an amount above 100 g in 100 g, a
/// mass that is negative or too large, a share that is not from 0 to 1, a recipe or rule that is there twice,
/// a rule that cannot be used (faultOf), too many of them.
FibreData fibreFrom(const JsonObject& root);

/// Makes the root say `fibre`, but for its results. Keys that this program does not know stay, also those of
/// a recipe (by id), of its parts (by material) and of a rule (by key).
void putFibre(const FibreData& fibre, Json& root);

}  // namespace aftercurve
