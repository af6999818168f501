#pragma once

#include <span>
#include <vector>

namespace aftercurve {

/// Paired differences, and how far two of them must lie apart to be told apart.
/// Values typed in decimals carry binary rounding, so that 0.3 − 0.2 and 0.2 − 0.1 are not equal bits; rank
/// methods would see no tie, and constant differences would seem to vary. Differences closer than
/// `resolution` count as tied, those within `resolution` of 0 as zero. The values themselves are never
/// altered.
struct Differences {
    std::vector<double> value;
    double resolution = 0.0;
};

/// value[i] = food[i] − comparator[i]; resolution = 1e-11 × the largest absolute value on either side.
/// Same lengths; all finite.
Differences pairedDifferences(std::span<const double> food, std::span<const double> comparator);

/// Differences given as such; resolution = 1e-11 × the largest absolute difference.
Differences asDifferences(std::span<const double> difference);

/// Largest − smallest ≤ resolution. True of one value and of none.
bool allEqual(const Differences& differences);

}  // namespace aftercurve
