#pragma once

#include <cstddef>
#include <optional>
#include <string_view>
#include <vector>

#include "core/files/csv_header.h"
#include "core/study/study.h"
#include "core/study/units.h"

namespace aftercurve {

/// A column that holds an analyte.
struct AnalyteColumn {
    std::size_t column = 0;
    std::size_t analyte = 0;  ///< index into Study::analytes
    double factor = 1.0;      ///< from the column's unit to the analyte's
};

/// Which column of a samples file holds what.
struct SamplesColumns {
    std::size_t subject = 0;
    std::size_t food = 0;
    std::size_t timeMin = 0;
    std::optional<std::size_t> visit;
    std::optional<std::size_t> period;
    std::optional<std::size_t> nominalMin;
    std::optional<std::size_t> replicate;
    std::optional<std::size_t> remark;
    std::vector<AnalyteColumn> analytes;
};

/// What the files so far have said about an analyte.
struct AnalyteState {
    bool found = false;            ///< some file has a column for it
    bool readWithoutUnit = false;  ///< a column without unit was read while study.json gives none
    bool unitFromHeader = false;   ///< the unit was taken from a header
};

/// "glucose [mg/dL]" taken apart; no unit where there are no brackets.
struct NameAndUnit {
    std::string_view name;
    std::string_view unit;
};
NameAndUnit splitUnit(std::string_view column);

/// Finds the columns by their names. Fatal: subject, food or time_min missing, a name that is there twice, a
/// unit in a header that cannot be converted. Where study.json gives no unit, that of the header becomes the
/// analyte's. Conversions and unused columns are noted.
std::optional<SamplesColumns> findSamplesColumns(const CsvHeader& header, std::string_view file, Study& study,
                                                 const std::vector<ConversionOptions>& conversions,
                                                 std::vector<AnalyteState>& states, ProblemList& problems);

}  // namespace aftercurve
