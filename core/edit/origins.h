#pragma once

#include <cstddef>
#include <optional>
#include <span>
#include <vector>

#include "core/edit/save_study.h"

namespace aftercurve {

/// For each food, analyte, subject, sample of the assays, recipe, item of the diary and adverse event of an
/// edited study which one of the study as it was read it is, so that a renamed one keeps its entry of
/// study.json, its column or its row. Nothing for a new one.
struct Origins {
    using List = std::vector<std::optional<std::size_t>>;

    List foods;
    List analytes;
    List subjects;
    List assaySamples;
    List recipes;
    List diaryItems;
    List events;
};

/// Follows the changes; where they do not explain the difference, equal ids and then equal places count.
Origins originsOf(const Study& was, const Study& now, std::span<const MadeChange> changes);

}  // namespace aftercurve
