// Digestion in vitro. Rows are told apart by numbers: of the sample, of the digestion, of the time.
#include <algorithm>
#include <array>
#include <string>
#include <string_view>
#include <vector>

#include "core/findings/recompute/parts.h"
#include "core/findings/tables/builders.h"

namespace aftercurve {

namespace {

using ByPlace = std::vector<std::string>;

std::string numbered(std::size_t number) {
    return std::to_string(number);
}

/// What tells the rows of each table apart, in the order in which the table has them.
ByPlace fractionItems(const DigestionFindings& digestion) {
    ByPlace items;
    for (std::size_t s = 0; s < digestion.bySample.size(); ++s) {
        for (const FractionSummary& summary : digestion.bySample[s].fractions) {
            items.push_back(numbered(s + 1) + "/" + std::string{keyOf(summary.fraction)} + "/" +
                            std::string{wordFor(summary.basis)});
        }
    }
    return items;
}

ByPlace fitItems(const DigestionFindings& digestion) {
    ByPlace items;
    const auto add = [&items](const std::string& curve, const FitChoice& fits) {
        for (const DigestionFit& fit : fits.candidates) {
            items.push_back(curve + "/" + std::string{wordFor(fit.model)});
        }
    };
    for (std::size_t s = 0; s < digestion.bySample.size(); ++s) {
        add("sample/" + numbered(s + 1), digestion.bySample[s].fits);
    }
    for (std::size_t r = 0; r < digestion.replicates.size(); ++r) {
        add("digestion/" + numbered(r + 1), digestion.replicates[r].fits);
    }
    return items;
}

ByPlace slopeItems(const DigestionFindings& digestion) {
    ByPlace items;
    for (std::size_t s = 0; s < digestion.bySample.size(); ++s) {
        const std::size_t phases = std::max<std::size_t>(1, digestion.bySample[s].slopes.phases.size());
        for (std::size_t i = 0; i < phases; ++i) {
            items.push_back(numbered(s + 1) + "/" + numbered(i + 1));
        }
    }
    return items;
}

ByPlace sampleItems(const DigestionFindings& digestion) {
    ByPlace items;
    for (std::size_t s = 0; s < digestion.bySample.size(); ++s) {
        items.push_back(numbered(s + 1));
    }
    return items;
}

ByPlace comparisonItems(const DigestionFindings& digestion) {
    ByPlace items;
    for (const DigestionComparison& comparison : digestion.comparisons) {
        items.push_back(comparison.key);
        for (const OneWayDifference& difference : comparison.test.differences) {
            items.push_back(comparison.key + "/" + numbered(difference.group + 1) + "/" +
                            numbered(difference.minus + 1));
        }
    }
    return items;
}

ByPlace readingItems(const DigestionFindings& digestion) {
    ByPlace items;
    for (std::size_t r = 0; r < digestion.replicates.size(); ++r) {
        for (std::size_t i = 0; i < digestion.replicates[r].digestion.points.size(); ++i) {
            items.push_back(numbered(r + 1) + "/" + numbered(i + 1));
        }
    }
    return items;
}

struct DigestionTable {
    Table (*build)(const Study& study, const Findings& findings);
    ByPlace (*items)(const DigestionFindings& digestion);
};

constexpr std::array<std::string_view, 2> words{"chosen", "hydrolysis_from"};

}  // namespace

void addDigestion(ReportedRows& rows, const StudyNumbers& /*numbers*/, const Findings& findings) {
    const DigestionFindings& digestion = findings.digestion;
    if (digestion.bySample.empty()) {
        return;
    }
    const ReportedPlace settings{"digestion_times", "", 0, "", 0, 0, 0, 0, ""};
    addNumber(rows, settings, "rapid_cut_min", digestion.cuts.rapidMin);
    addNumber(rows, settings, "slow_cut_min", digestion.cuts.slowMin);
    addNumber(rows, settings, "last_min", digestion.cuts.lastMin, "no series goes beyond the slow cut");
    addNumber(rows, settings, "area_until_min", digestion.untilMin, "the digestions share no time");
    const Study nameless;
    for (const DigestionTable& one : {DigestionTable{digestionFractionsTable, fractionItems},
                                      {digestionFitsTable, fitItems},
                                      {digestionSlopesTable, slopeItems},
                                      {digestionIndexTable, sampleItems},
                                      {digestionComparisonsTable, comparisonItems},
                                      {digestionReadingsTable, readingItems}}) {
        const Table table = one.build(nameless, findings);
        const ByPlace items = one.items(digestion);
        for (std::size_t i = 0; i < table.rows.size(); ++i) {
            ReportedPlace place;
            place.item = items.at(i);
            addTableRow(rows, place, table, table.rows[i], words);
        }
    }
}

}  // namespace aftercurve
