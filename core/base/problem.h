#pragma once

#include <cstddef>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

namespace aftercurve {

/// How much a problem weighs. `error`: something was left out of the results because of it, or nothing
/// could be read; `warning`: computed, but a person should look; `note`: on record, no action needed.
enum class Severity { note, warning, error };

/// One thing that a reader of the results must know, with the place it concerns and what to do about it.
/// Fields that do not apply stay empty (row 0, visit 0).
struct Problem {
    Severity severity = Severity::error;
    std::string what;     ///< the finding, naming the offending value; no full stop at the end
    std::string remedy;   ///< what the reader should do; may be empty for a note
    std::string file;     ///< path relative to the study folder
    std::size_t row = 0;  ///< line in `file`, the header being line 1
    std::string column;   ///< column name, or path of a key in study.json
    std::string subject;
    std::string food;
    int visit = 0;
    std::string analyte;
    std::optional<double> timeMin;
    std::string check;            ///< key of the check that found it (core/check); empty for other problems
    std::string acceptedBecause;  ///< a person looked and lets it stand; empty: open

    bool operator==(const Problem&) const = default;
};

/// "samples.csv:14", "study.json", or "" where no file is concerned.
std::string placeOf(const Problem& problem);

/// "note", "warning", "error".
std::string_view nameOf(Severity severity);

/// " (accepted: why)", or "" for an open problem.
std::string acceptedText(const Problem& problem);

/// The line for a terminal: "severity: file:row: what; what to do (accepted: why)". Control characters are
/// replaced by spaces, so that a hostile file cannot write to the terminal.
std::string lineFor(const Problem& problem);

/// Number of problems of severity `error`.
std::size_t errorCount(const std::vector<Problem>& problems);

}  // namespace aftercurve
