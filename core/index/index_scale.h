#pragma once

#include <optional>

namespace aftercurve {

/// An index or a load with the ends of its interval.
struct IndexInterval {
    std::optional<double> estimate;
    std::optional<double> low;  ///< both ends or none
    std::optional<double> high;
};

/// Index × factor: from the scale of the study's reference food (100) to that of glucose (100). The interval
/// is carried through; the factor counts as known, its own uncertainty does not enter. The published tables
/// come from 0.70 for white bread, FAO 1998 from 1/1.4 = 0.714 (Atkinson, Foster-Powell & Brand-Miller 2008,
/// Diabetes Care 31:2281, Table A2 has both scales). Absent stays absent; so does all where the factor is not
/// above 0 or the product is not finite.
IndexInterval onGlucoseScale(const IndexInterval& index, double factor);

/// Glycaemic load (g) = index on the glucose scale × available carbohydrate (g) / 100. Unrounded; printed
/// tables round it to a whole number. The carbohydrate counts as known. Source: Salmeron et al. 1997, JAMA
/// 277:472 (from memory); Atkinson et al. 2008, Table A2. A carbohydrate that is below 0 or not finite, a
/// product that is not finite: absent.
IndexInterval glycaemicLoad(const IndexInterval& glucoseScaleIndex, double availableCarbohydrateG);

/// 100 × (test − reference)/reference: how much more available carbohydrate the food's portion holds than the
/// reference's, in %. Absent where either is not above 0 or the result is not finite.
std::optional<double> carbohydrateMismatchPercent(double testG, double referenceG);

}  // namespace aftercurve
