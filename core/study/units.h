#pragma once

#include <span>
#include <string>
#include <string_view>

#include "core/base/result.h"

namespace aftercurve {

/// One row of the unit table: value in `unit` = value in the analyte's SI unit × `perSi`.
struct Unit {
    std::string_view analyte;  ///< glucose, insulin, c-peptide, triglycerides
    std::string_view unit;     ///< as written in study.json or in a column header
    double perSi = 1.0;        ///< exactly 1 for the SI unit itself
    std::string_view source;   ///< where the factor comes from
};

/// All units that are converted, SI unit of each analyte first.
///   glucose        mmol/L; mg/dL = 18.016 × mmol/L (molar mass 180.16 g/mol)
///   insulin        pmol/L; µIU/mL = pmol/L ÷ 6.00 (WHO standard 66/304), or ÷ 6.945 where asked (legacy)
///   c-peptide      nmol/L; ng/mL = 3.0203 × nmol/L; pmol/L = 1000 × nmol/L
///   triglycerides  mmol/L; mg/dL = 88.57 × mmol/L
std::span<const Unit> unitTable();

/// What a factor may depend on besides the unit.
struct ConversionOptions {
    /// pmol of insulin in one µIU: 6.00, or the legacy 6.945. Key "pmol_per_uiu" of the analyte in
    /// study.json.
    double insulinPmolPerUiu = 6.00;
};

/// Spelling variants made equal: "uIU/mL", "µU/mL", "mU/L", "mIU/L" all give "µIU/mL"; case of "mmol/l" is
/// mended. An unknown text comes back unchanged.
std::string canonicalUnit(std::string_view unit);

/// True where the table knows this analyte, so that its unit must be in the table.
bool isKnownAnalyte(std::string_view analyte);

/// The units of an analyte as a list for a message: "mmol/L, mg/dL".
std::string unitsOf(std::string_view analyte);

/// Factor f with value(to) = f · value(from). Equal units give exactly 1, also for analytes not in the table.
/// Fails (problem names analyte, unit, and the units that are known) where either unit is not in the table.
Result<double> conversionFactor(std::string_view analyte, std::string_view from, std::string_view to,
                                const ConversionOptions& options = {});

}  // namespace aftercurve
