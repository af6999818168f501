#pragma once

#include <functional>
#include <optional>
#include <span>
#include <string>
#include <vector>

#include "core/base/problem.h"
#include "core/intake/input_table.h"
#include "core/intake/mapping.h"
#include "core/study/study.h"

namespace aftercurve {

struct TakeInOptions {
    std::string title;  ///< of the study; empty: the mapping's
    std::string samplesFile = "samples.csv";
    std::string subjectsFile =
        "subjects.csv";                     ///< named in the study only where something is known of a subject
    std::string visitsFile = "visits.csv";  ///< only where dates, meal starts or remarks of visits are known
    std::size_t draws = 20'000'000;
    std::size_t problemsListed = 300;
};

struct TakenIn {
    std::optional<Study> study;     ///< absent where an error or a stop stands in the way
    std::vector<Problem> problems;  ///< those of checkMapping first
    bool stopped = false;           ///< `progress` answered false; there is no study then
};

/// Turns tables into a study, in one pass over each. Draws of one subject, food, visit, time and replicate
/// are one draw, whichever tables they stand in: each gives the concentrations it has. Joined by the nominal
/// time where it is given, else by the actual one. Draws come in the order of subject (as first met), visit,
/// food, time, replicate.
///
/// Missing: an empty cell or a missing word; the draw is kept. Rows without any cell, rows that begin with
/// '#', rows that are the header again, rows named in skipRowsNamed and rows wide by time without any value
/// are left out, with a note that counts them. '<2.0' is below the limit: the concentration is missing and
/// the limit kept (Study::belowLimit).
///
/// Times of day become minutes from the start of the meal: of the visit's meal-start cell, else of its row
/// with nominal time 0. They lie within 12 h of it, or of the day nearest to the nominal time, so that
/// midnight may be crossed.
///
/// Errors, after which there is no study: every error of checkMapping; a cell that is none of number, missing
/// and limit; a negative concentration; a row without subject, food or time; a food that the mapping does not
/// know; a date that reads both ways; two different values, times or limits for one draw; times of day of a
/// visit without a start of the meal. Each names file, row and column. All else that was done to the data
/// (conversion, merging, dilution, padding, renaming, filling, skipping) is a note or a warning with its
/// count.
///
/// `progress` (may be empty) is told the share of the reading that is done, every few MB and at the latest
/// after 20,000 rows: 0 while sheets are looked through for merged cells, 1 while draws are sorted and
/// joined. Answering false stops at once.
TakenIn takeIn(std::span<const InputTable> tables, const Mapping& mapping, const TakeInOptions& options = {},
               const std::function<bool(double)>& progress = {});

}  // namespace aftercurve
