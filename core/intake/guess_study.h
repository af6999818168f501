#pragma once

#include <span>
#include <vector>

#include "core/intake/guess_table.h"

namespace aftercurve {

// Steps of guessMapping that look at all tables together; each adds its items and questions.

/// Where no column tells the food or the subject: by the sheet's or the file's name.
void guessOrigins(std::span<const InputTable> tables, std::vector<TableGuess>& parts,
                  GuessedMapping& guessed);

/// Analytes and their units; takes back a unit that the values do not fit.
void guessUnits(const std::vector<TableGuess>& parts, GuessedMapping& guessed);

/// Foods, the spellings that are one, and their roles.
void guessFoods(std::span<const InputTable> tables, const std::vector<TableGuess>& parts,
                GuessedMapping& guessed);

/// Dates, dilution, codes, and cells that are neither number nor missing.
void guessTexts(const std::vector<TableGuess>& parts, GuessedMapping& guessed);

}  // namespace aftercurve
