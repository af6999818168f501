// Fibre and recipes. Rows are told apart by numbers: of the result, of what is labelled, of the recipe.
#include <array>
#include <string>
#include <string_view>
#include <vector>

#include "core/findings/recompute/parts.h"
#include "core/findings/tables/builders.h"

namespace aftercurve {

namespace {

std::string numbered(std::size_t number) {
    return std::to_string(number);
}

constexpr std::array<std::string_view, 3> words{"spread_on", "repeatability", "suits"};

void addTable(ReportedRows& rows, const Table& table, const std::vector<std::string>& items) {
    for (std::size_t i = 0; i < table.rows.size(); ++i) {
        ReportedPlace place;
        place.item = items.at(i);
        addTableRow(rows, place, table, table.rows[i], words);
    }
}

std::vector<std::string> upTo(std::size_t count) {
    std::vector<std::string> items;
    for (std::size_t i = 1; i <= count; ++i) {
        items.push_back(numbered(i));
    }
    return items;
}

std::vector<std::string> recipeItems(const FibreFindings& fibre) {
    std::vector<std::string> items;
    for (std::size_t r = 0; r < fibre.recipes.size(); ++r) {
        items.push_back(numbered(r + 1) + "/before");
        if (fibre.recipes[r].after) {
            items.push_back(numbered(r + 1) + "/after");
        }
    }
    return items;
}

/// Its texts tell numbers in words: what they rest on, and the answers.
void addLabels(ReportedRows& rows, const FibreFindings& fibre) {
    for (std::size_t i = 0; i < fibre.labels.size(); ++i) {
        const FibreLabelFinding& label = fibre.labels[i];
        ReportedPlace place;
        place.table = "fibre_statements";
        place.row = label.key;
        place.item = numbered(i + 1);
        const FibreContents& contents = label.contents;
        addNumber(rows, place, "fibre_g_per_100_g", contents.fibrePer100g, "the fibre is not known");
        addNumber(rows, place, "energy_kj_per_100_g", contents.energyKjPer100g, "the energy is not known");
        addNumber(rows, place, "serving_g", contents.servingG, "the serving is not given");
        const auto add = [&](std::string_view quantity, FibreBasis basis) {
            const PortionValue amount = fibreOn(basis, contents);
            addNumber(rows, place, quantity, amount.value, amount.absentBecause);
        };
        add("fibre_g_per_100_kcal", FibreBasis::hundredKcal);
        add("fibre_g_per_serving", FibreBasis::serving);
        addNumber(rows, place, "labelled_g", label.labelled.value, label.labelled.absentBecause);
        addWord(rows, place, "label", label.label, "no amount is known, or the rule has no rounding");
        for (std::size_t s = 0; s < label.statements.size(); ++s) {
            place.item = numbered(i + 1) + "/" + numbered(s + 1);
            addWord(rows, place, "answer", wordFor(label.statements[s].answer));
        }
    }
}

}  // namespace

void addFibre(ReportedRows& rows, const StudyNumbers& /*numbers*/, const Findings& findings) {
    const FibreFindings& fibre = findings.fibre;
    const Study nameless;
    addTable(rows, fibreResultsTable(nameless, findings), upTo(fibre.results.size()));
    addTable(rows, fibreMethodsTable(nameless, findings), upTo(fibre.methods.size()));
    for (const FibreDisagreement& one : fibre.disagreements) {
        ReportedPlace place;
        place.table = "fibre_disagreements";
        place.row = one.text;
        place.item = numbered(one.one + 1) + "/" + numbered(one.other + 1);
        addNumber(rows, place, "difference_g", one.differenceG);
    }
    addLabels(rows, fibre);
    addTable(rows, recipesTable(nameless, findings), recipeItems(fibre));
}

}  // namespace aftercurve
