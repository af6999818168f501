#pragma once

#include <cstddef>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "core/base/result.h"

namespace aftercurve {

/// One place at which two results.json differ.
struct ResultsDifference {
    std::string where;  ///< "comparisons[0].mean_difference"
    std::string was;    ///< as JSON, shortened; empty where there was nothing
    std::string now;    ///< likewise
    /// |was - now| / max(|was|, |now|), for two numbers; absent where one is missing.
    std::optional<double> relative;
};

struct SoftwareWords {
    std::string version;
    std::string revision;

    bool operator==(const SoftwareWords&) const = default;
};

/// How two results.json differ. Software and revision are told apart and counted nowhere else.
struct ResultsComparison {
    SoftwareWords softwareWas;
    SoftwareWords softwareNow;
    std::size_t numbers = 0;                   ///< numbers of the old file that were compared
    std::size_t differingNumbers = 0;          ///< that are not identical, or absent (null) on one side only
    std::size_t lost = 0;                      ///< keys and rows of the old file that the new one lacks
    std::size_t added = 0;                     ///< keys and rows that only the new one has
    std::size_t texts = 0;                     ///< texts and flags that differ, and all below "problems"
    std::optional<ResultsDifference> largest;  ///< of the relative differences; the first of equals
    std::vector<ResultsDifference> listed;     ///< the first of all, at most mostListedDifferences

    bool sameSoftware() const { return softwareWas == softwareNow; }
    bool sameNumbers() const { return differingNumbers == 0 && lost == 0; }
    /// Another version of the program may word a text anew or add a key; the same one may not.
    bool same() const { return sameNumbers() && (!sameSoftware() || (added == 0 && texts == 0)); }
};

inline constexpr std::size_t mostListedDifferences = 50;
/// Largest results.json that is compared; reading one takes about ten times its size in memory.
inline constexpr std::size_t mostResultsBytes = std::size_t{256} << 20;

/// Compares two texts of results.json key by key, rows by their place. Two numbers are the same where they
/// are the same double or the same whole number. Fails where one is larger than mostResultsBytes, is no JSON
/// object, is nested deeper than 32 levels or is of no format "aftercurve-results".
Result<ResultsComparison> compareResults(std::string_view was, std::string_view now);

}  // namespace aftercurve
