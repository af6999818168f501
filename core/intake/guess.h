#pragma once

#include <span>
#include <string>
#include <string_view>
#include <vector>

#include "core/intake/input_table.h"
#include "core/intake/mapping.h"

namespace aftercurve {

enum class Confidence { sure, likely, unsure };

/// "sure", "likely", "unsure".
std::string_view wordFor(Confidence confidence);

/// One thing that was guessed, for a person to confirm or to mend.
struct GuessedItem {
    std::string key;   ///< where it stands in the mapping: "tables[0].columns[3]"
    std::string what;  ///< "column 4 'Glc mmol/l' of lab.csv is glucose in mmol/L"
    std::string why;   ///< "the header reads so"
    Confidence confidence = Confidence::likely;
};

/// One thing that must be answered before the files can be taken in; it is absent in the mapping until then.
struct Question {
    std::string key;                   ///< what to fill in: "analytes[0].file_unit"
    std::string ask;                   ///< a whole sentence
    std::vector<std::string> answers;  ///< the words to choose from; empty where the answer is free
};

struct GuessedMapping {
    Mapping mapping;
    std::vector<GuessedItem> items;
    std::vector<Question> questions;
    std::vector<Problem> problems;  ///< tables that could not be read
};

/// Guesses how the tables turn into a study: by the words of the headers (header_words.h), by the layout, by
/// sheet and file names, by the values. Reads every table twice. Values never override what a header says:
/// where they do not fit its unit, the unit is left open and asked for. Asked as well: a unit that no header
/// gives, dates that read both ways, what a dilution column means, the limit behind "n.d.", times in words,
/// codes that differ in leading zeros only, foods whose role no name tells. Medians that fit (common
/// practice, no source): glucose 1.5 to 30 mmol/L or 30 to 540 mg/dL; insulin 15 to 3000 pmol/L or 1 to 250
/// µIU/mL; C-peptide 0.05 to 20 nmol/L, 50 to 20000 pmol/L or 0.15 to 60 ng/mL; triglycerides 0.1 to 15
/// mmol/L or 15 to 1300 mg/dL.
GuessedMapping guessMapping(std::span<const InputTable> tables);

/// True where a median of this analyte can be in this unit by the ranges above; true for analytes without.
bool fitsUnit(std::string_view analyte, std::string_view unit, double median);

/// The item as one sentence: "tables[0].columns[3]: ...: ... (sure)".
std::string sentenceFor(const GuessedItem& item);

/// "analytes[0].file_unit: ... (mmol/L, mg/dL)".
std::string sentenceFor(const Question& question);

}  // namespace aftercurve
