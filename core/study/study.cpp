#include "core/study/study.h"

#include <algorithm>
#include <tuple>

namespace aftercurve {

namespace {

template <class Things>
std::optional<std::size_t> indexOfId(const Things& things, std::string_view id) {
    const auto found = std::find_if(things.begin(), things.end(), [id](const auto& t) { return t.id == id; });
    if (found == things.end()) {
        return std::nullopt;
    }
    return static_cast<std::size_t>(found - things.begin());
}

}  // namespace

std::string_view wordFor(FoodRole role) {
    switch (role) {
        case FoodRole::reference:
            return "reference";
        case FoodRole::control:
            return "control";
        case FoodRole::test:
            return "test";
    }
    return {};
}

std::optional<FoodRole> foodRoleFrom(std::string_view word) {
    for (const FoodRole role : {FoodRole::reference, FoodRole::control, FoodRole::test}) {
        if (wordFor(role) == word) {
            return role;
        }
    }
    return std::nullopt;
}

std::optional<std::size_t> findFood(const Study& study, std::string_view id) {
    return indexOfId(study.foods, id);
}

std::optional<std::size_t> findAnalyte(const Study& study, std::string_view id) {
    return indexOfId(study.analytes, id);
}

std::optional<std::size_t> findSubject(const Study& study, std::string_view id) {
    return indexOfId(study.subjects, id);
}

std::optional<double> belowLimitAt(const Study& study, std::uint32_t draw, std::uint32_t analyte) {
    const auto found = std::lower_bound(study.belowLimit.begin(), study.belowLimit.end(),
                                        std::tuple{draw, analyte}, [](const BelowLimit& b, const auto& key) {
                                            return std::tuple{b.draw, b.analyte} < key;
                                        });
    const bool there = found != study.belowLimit.end() && found->draw == draw && found->analyte == analyte;
    return there ? std::optional{found->limit} : std::nullopt;
}

std::string_view remarkOn(const Study& study, std::uint32_t draw) {
    const auto found =
        std::lower_bound(study.remarks.begin(), study.remarks.end(), draw,
                         [](const DrawRemark& remark, std::uint32_t key) { return remark.draw < key; });
    return found != study.remarks.end() && found->draw == draw ? std::string_view{found->text}
                                                               : std::string_view{};
}

std::string indexReference(const Study& study, const Plan& plan) {
    const auto comparator = findFood(study, plan.comparator);
    if (comparator && study.foods[*comparator].role == FoodRole::reference) {
        return plan.comparator;
    }
    const auto found = std::find_if(study.foods.begin(), study.foods.end(),
                                    [](const Food& f) { return f.role == FoodRole::reference; });
    return found == study.foods.end() ? std::string{} : found->id;
}

std::string labelOf(const Study& study, std::string_view foodId) {
    const auto index = findFood(study, foodId);
    return index ? study.foods[*index].label : std::string{foodId};
}

}  // namespace aftercurve
