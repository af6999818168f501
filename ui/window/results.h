#pragma once

#include <QString>
#include <array>
#include <cstddef>
#include <memory>
#include <string_view>
#include <vector>

#include "core/findings/analyse.h"
#include "core/findings/sentence.h"
#include "core/findings/table.h"

namespace aftercurve {

/// One finished run: the study, the findings and every table of tableList(), in its order. Immutable once
/// made, so it is shared between the pages and the worker that looks for what changed.
struct Results {
    std::shared_ptr<const Study> study;
    Findings findings;
    std::vector<std::shared_ptr<const Table>> tables;
    std::vector<Sentence> laboratoryWords = {};  ///< on assays, fibre, the bridge and diaries

    /// Null where there is no table of that key.
    std::shared_ptr<const Table> table(std::string_view key) const;
};

/// What differs between two runs, per table of tableList().
struct Marks {
    std::vector<std::vector<CellChange>> byTable;
    std::size_t count = 0;

    const std::vector<CellChange>& of(std::string_view tableKey) const;
};

/// Runs `analyse` and builds the tables. `exclusionsIgnored`: the study is given without its exclusions, and
/// the results say so.
Result<Results> computeResults(std::shared_ptr<const Study> study, const Plan& plan,
                               const std::vector<Problem>& readProblems, const Progress& progress,
                               bool exclusionsIgnored = false);

Marks marksBetween(const Results& before, const Results& after);

}  // namespace aftercurve
