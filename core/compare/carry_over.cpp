#include "core/compare/carry_over.h"

#include <algorithm>
#include <map>
#include <set>
#include <utility>

namespace aftercurve {

std::vector<CarryOver> carryOverLevels(std::span<const CarryOverVisit> visits) {
    std::vector<CarryOver> result;
    if (visits.empty()) {
        return result;
    }
    std::map<std::pair<std::size_t, long long>, std::set<std::size_t>> foods;
    long long first = visits.front().period;
    for (const CarryOverVisit& visit : visits) {
        foods[{visit.subject, visit.period}].insert(visit.food);
        first = std::min<long long>(first, visit.period);
    }
    for (const CarryOverVisit& visit : visits) {
        const auto before = foods.find({visit.subject, static_cast<long long>(visit.period) - 1});
        if (foods.at({visit.subject, visit.period}).size() > 1) {
            result.push_back({CarryOverSource::periodNotUnique, std::nullopt});
        } else if (visit.period == first) {
            result.push_back({CarryOverSource::firstPeriod, std::nullopt});
        } else if (before == foods.end()) {
            result.push_back({CarryOverSource::noVisitBefore, std::nullopt});
        } else if (before->second.size() > 1) {
            result.push_back({CarryOverSource::severalFoods, std::nullopt});
        } else {
            result.push_back({CarryOverSource::previousPeriod, *before->second.begin()});
        }
    }
    return result;
}

}  // namespace aftercurve
