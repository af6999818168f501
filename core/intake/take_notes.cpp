#include "core/intake/take_notes.h"

#include <set>

#include "core/files/excerpt.h"
#include "core/intake/merge_draws.h"

namespace aftercurve {

namespace {

struct DeedWords {
    Deed deed;
    Weight weight;
    const char* before;  ///< what was done
    const char* noun;    ///< to what
    const char* remedy;
};

constexpr std::array deedWords{
    DeedWords{Deed::comment, Weight::note, "left out as comments, since they begin with '#': ", "row", ""},
    DeedWords{Deed::emptyRow, Weight::note, "left out, since every cell is empty: ", "row", ""},
    DeedWords{Deed::noValues, Weight::note, "left out, since they hold no value: ", "row", ""},
    DeedWords{Deed::namedRow, Weight::note, "left out, since skip_rows_named names them: ", "row", ""},
    DeedWords{Deed::repeatedHeader, Weight::note, "left out, since they repeat the header: ", "row", ""},
    DeedWords{Deed::filledDown, Weight::note, "an empty subject was taken from the row above in ", "row", ""},
    DeedWords{Deed::visitText, Weight::note,
              "the number behind a word was taken for the visit, period or replicate in ", "cell", ""},
    DeedWords{Deed::padded, Weight::note, "zeros were put before the subject's code in ", "row", ""},
    DeedWords{Deed::limitWord, Weight::note, "a word of limit_texts stands for 'below the limit' in ", "cell",
              ""},
    DeedWords{Deed::belowLimit, Weight::note, "below the quantification limit, kept as such: ", "cell", ""},
    DeedWords{Deed::multiplied, Weight::note, "values were multiplied by the dilution in ", "row", ""},
    DeedWords{Deed::dilutionKept, Weight::note,
              "diluted, and taken as multiplied already, as the mapping says: ", "row", ""},
    DeedWords{Deed::noDilution, Weight::warning, "no dilution is given and none was applied in ", "row",
              "check that these samples were not diluted"},
    DeedWords{Deed::timeWord, Weight::note, "a word of time_texts stands for the time in ", "row", ""},
    DeedWords{Deed::noActualTime, Weight::warning,
              "no actual time is given and the nominal one stands for it in ", "row",
              "enter the actual time where it is known"},
    DeedWords{Deed::clockNumber, Weight::note, "a part of a day was read as time of day in ", "cell", ""},
    DeedWords{Deed::remarkLines, Weight::note, "line breaks of a remark became blanks in ", "row", ""},
};

std::string listOf(const std::set<std::string>& words) {
    std::string list;
    for (const std::string& word : words) {
        list += (list.empty() ? "" : ", ") + word;
    }
    return list;
}

}  // namespace

void noteDeeds(const Gathered& gathered, std::span<const std::string> tables, const Mapping& mapping,
               ProblemList& problems) {
    for (std::size_t t = 0; t < tables.size(); ++t) {
        for (const DeedWords& words : deedWords) {
            const Tally& tally = gathered.deeds[t][static_cast<std::size_t>(words.deed)];
            if (tally.count > 0) {
                problems.add(
                    words.weight,
                    problemAt(tables[t], 0, "", words.before + wordsFor(tally, words.noun), words.remedy));
            }
        }
    }
    for (const auto& [names, tally] : gathered.renamed) {
        problems.add(Weight::note, problemAt("", 0, "",
                                             quote(names.first) + " was taken for the food " +
                                                 quote(names.second) + " in " + wordsFor(tally, "row")));
    }
    std::set<std::string> unused;
    std::vector<bool> seen(mapping.foods.size(), false);
    for (const Draw& draw : gathered.draws) {
        seen[draw.food] = true;
    }
    for (std::size_t f = 0; f < seen.size(); ++f) {
        if (!seen[f]) {
            unused.insert(quote(mapping.foods[f].id));
        }
    }
    if (!unused.empty()) {
        problems.add(Weight::note, problemAt("", 0, "foods", "no draw is of the food " + listOf(unused)));
    }
}

void noteMerging(const MergeCounts& counts, std::span<const std::string> tables,
                 const std::vector<std::vector<std::string>>& analytes, ProblemList& problems) {
    if (counts.merged > 0) {
        problems.add(Weight::note, problemAt("", 0, "",
                                             "joined by subject, food, visit, time and replicate: " +
                                                 std::to_string(counts.merged) + " draws of several rows"));
    }
    if (counts.repeated > 0) {
        problems.add(
            Weight::warning,
            problemAt("", 0, "",
                      std::to_string(counts.repeated) + " concentrations stand twice, with the same value",
                      "check that no rows were copied; assay duplicates need a replicate column"));
    }
    std::set<std::string> all;
    for (const auto& ids : analytes) {
        all.insert(ids.begin(), ids.end());
    }
    for (std::size_t t = 0; t < tables.size(); ++t) {
        std::set<std::string> missing = all;
        for (const std::string& id : analytes[t]) {
            missing.erase(id);
        }
        if (!missing.empty() && missing.size() < all.size() && counts.onlyIn[t] > 0) {
            problems.add(Weight::warning,
                         problemAt(tables[t], 0, "",
                                   std::to_string(counts.onlyIn[t]) + " draws stand in this table only; " +
                                       listOf(missing) + " is missing there",
                                   "check that codes, foods, visits and times agree between the tables"));
        }
    }
}

}  // namespace aftercurve
