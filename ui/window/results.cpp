#include "ui/window/results.h"

#include <algorithm>
#include <array>
#include <iterator>
#include <optional>

#include "core/findings/fibre_words.h"
#include "core/findings/laboratory_words.h"
#include "core/findings/tolerance_words.h"

namespace aftercurve {

namespace {

std::optional<std::size_t> positionOf(std::string_view key) {
    const auto kinds = tableList();
    for (std::size_t i = 0; i < kinds.size(); ++i) {
        if (kinds[i].key == key) {
            return i;
        }
    }
    return std::nullopt;
}

}  // namespace

std::shared_ptr<const Table> Results::table(std::string_view key) const {
    const auto at = positionOf(key);
    return at && *at < tables.size() ? tables[*at] : nullptr;
}

const std::vector<CellChange>& Marks::of(std::string_view tableKey) const {
    static const std::vector<CellChange> none;
    const auto at = positionOf(tableKey);
    return at && *at < byTable.size() ? byTable[*at] : none;
}

Result<Results> computeResults(std::shared_ptr<const Study> study, const Plan& plan,
                               const std::vector<Problem>& readProblems, const Progress& progress,
                               bool exclusionsIgnored) {
    Result<Findings> found = analyse(*study, plan, readProblems, progress);
    if (!found) {
        return found.problem();
    }
    Results results;
    results.findings = std::move(found).value();
    results.findings.exclusionsIgnored = exclusionsIgnored;
    for (const TableKind& kind : tableList()) {
        if (progress && !progress(1.0, "tables")) {
            Problem cancelled;
            cancelled.what = "cancelled";
            return cancelled;
        }
        results.tables.push_back(std::make_shared<const Table>(kind.build(*study, results.findings)));
    }
    for (std::vector<Sentence>& sentences :
         std::array{digestionSentences(*study, results.findings), fibreSentences(*study, results.findings),
                    bridgeResults(results.findings), toleranceResults(*study, results.findings)}) {
        std::move(sentences.begin(), sentences.end(), std::back_inserter(results.laboratoryWords));
    }
    results.study = std::move(study);
    return results;
}

Marks marksBetween(const Results& before, const Results& after) {
    Marks marks;
    for (std::size_t i = 0; i < after.tables.size(); ++i) {
        // Problems are numbered anew in each run, so a cell of theirs has no cell before it.
        if (after.tables[i]->key == "problems") {
            marks.byTable.emplace_back();
            continue;
        }
        marks.byTable.push_back(changesBetween(*before.tables[i], *after.tables[i]));
        marks.count += marks.byTable.back().size();
    }
    return marks;
}

}  // namespace aftercurve
