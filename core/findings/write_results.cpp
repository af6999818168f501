#include "core/findings/write_results.h"

#include <optional>
#include <system_error>
#include <utility>

#include "core/files/atomic_write.h"
#include "core/findings/recompute.h"
#include "core/findings/results_json.h"
#include "core/findings/table.h"

namespace aftercurve {

void forEachResultFile(const Study& study, const Findings& findings,
                       const std::function<bool(const std::string&, const std::string&)>& take) {
    if (!take("results.json", resultsJson(findings))) {
        return;
    }
    for (const TableKind& kind : tableList()) {
        if (!take("tables/" + std::string{kind.key} + ".csv", asCsv(kind.build(study, findings)))) {
            return;
        }
    }
    for (const RecomputeFile& file : recomputeFiles(study, findings)) {
        if (!take("recompute/" + file.name, file.bytes)) {
            return;
        }
    }
}

Result<std::vector<std::string>> writeResults(const Study& study, const Findings& findings,
                                              const std::filesystem::path& folder) {
    std::error_code error;
    for (const char* part : {"tables", "recompute"}) {
        std::filesystem::create_directories(folder / part, error);
        if (error) {
            Problem problem;
            problem.file = (folder / part).string();
            problem.what = "cannot make this folder: " + error.message();
            problem.remedy = "choose another folder with --out";
            return problem;
        }
    }
    std::vector<std::string> written;
    std::optional<Problem> failure;
    forEachResultFile(study, findings, [&](const std::string& name, const std::string& bytes) {
        written.push_back(name);
        const auto done = writeAtomically(folder / name, bytes);
        if (!done.ok()) {
            failure = done.problem();
        }
        return done.ok();
    });
    if (failure) {
        return std::move(*failure);
    }
    return written;
}

}  // namespace aftercurve
