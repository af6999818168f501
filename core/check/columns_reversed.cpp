// Glucose and insulin in each other's column: a whole file, or single visits.
#include <algorithm>
#include <map>

#include "core/check/checks.h"
#include "core/check/found.h"
#include "core/check/unit_suspicion.h"

namespace aftercurve::checks {

namespace {

constexpr std::string_view key = "columns-reversed";

struct FileVisits {
    std::size_t comparable = 0;  ///< visits with both analytes
    std::size_t reversed = 0;
};

std::vector<Problem> run(const CheckInput& input) {
    Found found{input, key};
    const auto glucose = findAnalyte(input.study, "glucose");
    const auto insulin = findAnalyte(input.study, "insulin");
    if (!glucose || !insulin) {
        return {};
    }
    const std::size_t visits = input.visits.size();
    const auto fileOf = [&input](const CheckVisit& visit) {
        return input.study.draws[visit.draws.front()].file;
    };
    const auto curveOf = [&](std::size_t analyte, std::size_t visit) -> const CheckCurve& {
        return input.curves[analyte * visits + visit];
    };
    std::map<std::uint32_t, FileVisits> files;
    for (std::size_t v = 0; v < visits; ++v) {
        const bool both = !curveOf(*glucose, v).samples.empty() && !curveOf(*insulin, v).samples.empty();
        if (both && !input.visits[v].excluded) {
            FileVisits& file = files[fileOf(input.visits[v])];
            ++file.comparable;
            file.reversed += static_cast<std::size_t>(input.visits[v].looksReversed);
        }
    }
    const auto whole = [](const FileVisits& file) {
        return file.comparable >= 2 && file.reversed == file.comparable;
    };
    const auto saying = [&](std::size_t v) {
        const CheckCurve& asGlucose = curveOf(*glucose, v);
        const CheckCurve& asInsulin = curveOf(*insulin, v);
        return "glucose " + typed(asGlucose.samples.front().value, input.study.analytes[*glucose].unit) +
               " and insulin " + typed(asInsulin.samples.front().value, input.study.analytes[*insulin].unit) +
               " in the first row; the two columns look exchanged";
    };
    for (std::size_t v = 0; v < visits; ++v) {
        const CheckVisit& visit = input.visits[v];
        if (!visit.looksReversed) {
            continue;
        }
        FileVisits& file = files[fileOf(visit)];
        if (file.comparable == 0) {
            continue;  // told already
        }
        const bool all = whole(file);
        found.add(Severity::warning, [&] {
            Problem p = problemAt(input, visit);
            p.column = "glucose";
            if (all) {
                p.subject.clear();
                p.food.clear();
                p.visit = 0;
                p.what =
                    p.file + ", all " + std::to_string(file.reversed) + " visits (the first: " + p.what + ")";
            }
            p.what += ": " + saying(v);
            p.remedy = "compare with the laboratory's file; exchange the two columns of these rows";
            return p;
        });
        if (all) {
            file = {};
        }
    }
    return found.take();
}

}  // namespace

Check columnsReversed() {
    return {key, "Glucose and insulin exchanged",
            "ranges that each can have (core/check/unit_suspicion.h): common practice, no source", run};
}

}  // namespace aftercurve::checks
