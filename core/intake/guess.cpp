#include "core/intake/guess.h"

#include <algorithm>
#include <array>

#include "core/base/number_text.h"
#include "core/files/excerpt.h"
#include "core/intake/fold_text.h"
#include "core/intake/guess_study.h"
#include "core/intake/guess_table.h"
#include "core/study/units.h"

namespace aftercurve {

namespace {

struct UnitRange {
    std::string_view analyte;
    std::string_view unit;
    double low;
    double high;
};

/// Common practice, no source: where medians of whole curves of people lie, with room on both sides.
constexpr std::array<UnitRange, 9> ranges{{{"glucose", "mmol/L", 1.5, 30.0},
                                           {"glucose", "mg/dL", 30.0, 540.0},
                                           {"insulin", "pmol/L", 15.0, 3000.0},
                                           {"insulin", "µIU/mL", 1.0, 250.0},
                                           {"c-peptide", "nmol/L", 0.05, 20.0},
                                           {"c-peptide", "pmol/L", 50.0, 20000.0},
                                           {"c-peptide", "ng/mL", 0.15, 60.0},
                                           {"triglycerides", "mmol/L", 0.1, 15.0},
                                           {"triglycerides", "mg/dL", 15.0, 1300.0}}};

}  // namespace

std::string_view wordFor(Confidence confidence) {
    switch (confidence) {
        case Confidence::sure:
            return "sure";
        case Confidence::likely:
            return "likely";
        case Confidence::unsure:
            return "unsure";
    }
    return {};
}

bool fitsUnit(std::string_view analyte, std::string_view unit, double median) {
    const auto found = std::find_if(ranges.begin(), ranges.end(), [&](const UnitRange& range) {
        return range.analyte == analyte && range.unit == unit;
    });
    return found == ranges.end() || (median >= found->low && median <= found->high);
}

std::string sentenceFor(const GuessedItem& item) {
    return printable(item.key + ": " + item.what + ", because " + item.why + " (" +
                     std::string{wordFor(item.confidence)} + ")");
}

std::string sentenceFor(const Question& question) {
    std::string text = question.key + ": " + question.ask;
    for (std::size_t i = 0; i < question.answers.size(); ++i) {
        text += (i == 0 ? " [" : ", ") + question.answers[i];
    }
    return printable(text + (question.answers.empty() ? "" : "]"));
}

GuessedMapping guessMapping(std::span<const InputTable> tables) {
    GuessedMapping guessed;
    std::vector<TableGuess> parts;
    for (const InputTable& table : tables) {
        const std::string key = "tables[" + std::to_string(parts.size()) + "]";
        auto part = guessTable(table, key, guessed.mapping.missingWords);
        if (part) {
            parts.push_back(std::move(part).value());
        } else {
            guessed.problems.push_back(part.problem());
            TableGuess unread;
            unread.how.source = table.source;
            unread.how.file = table.file;
            unread.how.sheet = table.sheet;
            unread.how.use = false;
            parts.push_back(std::move(unread));
        }
    }
    guessOrigins(tables, parts, guessed);
    for (TableGuess& part : parts) {
        guessed.items.insert(guessed.items.end(), part.items.begin(), part.items.end());
        guessed.mapping.tables.push_back(part.how);
    }
    guessUnits(parts, guessed);
    guessFoods(tables, parts, guessed);
    guessTexts(parts, guessed);
    return guessed;
}

}  // namespace aftercurve
