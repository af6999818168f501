#pragma once

#include <optional>
#include <string>
#include <string_view>

#include "core/intake/mapping.h"

namespace aftercurve {

/// What a column's header says by itself.
struct HeaderReading {
    std::optional<ColumnRole> role;  ///< absent: no word is known
    std::string analyte;             ///< for role analyte; empty where only "value" or "result" is said
    std::string unit;                ///< canonical unit of a concentration; "h" or "min" of a time
    std::optional<double> timeMin;   ///< a time beside the words, or alone
    bool hyphen = false;             ///< a hyphen stands between a word and the time: a minus or a dash
    bool statistic = false;          ///< mean, SD, n and the like: a computed column or row
    std::string word;                ///< the word that decided, for the explanation
};

/// Reads a header such as "Glc mmol/l", "glucose 15", "ins_30", "t0", "Zeit (min)". Words are compared
/// without case and accents, whole words only; the list is common practice in English, German, French,
/// Spanish, the Nordic and the Baltic languages, no source.
HeaderReading readHeader(std::string_view header);

/// Analyte that a name speaks of anywhere ("Insulin results, spring"); empty where it speaks of none or two.
std::string analyteNamedIn(std::string_view text);

/// Unit of concentration that a text holds ("in mg/dl"); empty where there is none.
std::string unitNamedIn(std::string_view text);

/// True for mean, SD, SEM, n, CV and the like, alone.
bool isStatisticWord(std::string_view text);

/// Role that a food's name speaks of: "reference", "ref", "glucose" → reference; "control", "water",
/// "placebo" → control. Absent where it speaks of none.
std::optional<FoodRole> foodRoleNamedIn(std::string_view text);

/// True for "n.d.", "<LOQ", "BDL", "n.n." and the like: below the limit, without saying which.
bool isBelowLimitWord(std::string_view text);

}  // namespace aftercurve
