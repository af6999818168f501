#pragma once

#include <cstddef>
#include <span>
#include <vector>

#include "core/files/json_object.h"
#include "core/study/study.h"

namespace aftercurve {

inline constexpr std::size_t mostMealParts = 100;

/// The composition keys of one entry of "foods" of study.json; each a number from 0, or absent.
FoodComposition compositionFrom(const JsonObject& food);

/// "parts" of one entry of "foods": label, carbohydrate_g, index, scale ("glucose", "white-bread"), source.
/// Fatal: no label, no carbohydrate, no index, or one of them negative; more than 100 parts.
std::vector<MealPart> partsFrom(const JsonObject& food);

/// The object "conduct" of study.json.
Conduct conductFrom(const JsonObject& object);

/// Make the entry say `now`; a key is left alone where `was` and `now` agree.
void putComposition(const FoodComposition& was, const FoodComposition& now, Json& food);
void putParts(std::span<const MealPart> parts, Json& food);
/// Makes root["conduct"] say `conduct`; keys that this program does not know stay.
void putConduct(const Conduct& conduct, Json& root);

}  // namespace aftercurve
