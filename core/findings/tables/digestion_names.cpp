#include "core/findings/tables/digestion_names.h"

#include <functional>
#include <map>
#include <string>
#include <variant>

namespace aftercurve {

Table named(Table table, const Study& study, const DigestionFindings& digestion) {
    if (study.assays.samples.empty()) {
        return table;
    }
    std::map<std::string, std::string, std::less<>> label;
    for (const StarchFraction fraction :
         {StarchFraction::rapidly, StarchFraction::slowly, StarchFraction::resistant, StarchFraction::late,
          StarchFraction::remainder}) {
        label.emplace(keyOf(fraction), labelOf(fraction));
    }
    for (const DigestionComparison& comparison : digestion.comparisons) {
        label.emplace(comparison.key, comparison.label);
    }
    std::map<std::string, std::string, std::less<>> sample;
    for (const AssaySample& one : study.assays.samples) {
        sample.emplace(one.id, one.label.empty() ? one.id : one.label);
    }
    for (std::size_t c = 0; c < table.columns.size(); ++c) {
        const std::string& key = table.columns[c].key;
        const bool ofSamples = key == "sample" || key == "comparator" || key == "reference";
        if (!ofSamples && key != "fraction" && key != "quantity") {
            continue;
        }
        const auto& names = ofSamples ? sample : label;
        for (Row& row : table.rows) {
            if (auto* text = std::get_if<std::string>(&row.cells[c])) {
                const auto found = names.find(*text);
                *text = found == names.end() ? *text : found->second;
            }
        }
    }
    return table;
}

}  // namespace aftercurve
