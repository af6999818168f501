#include "core/findings/write_results.h"

#include <system_error>

#include "core/files/atomic_write.h"
#include "core/findings/recompute.h"
#include "core/findings/results_json.h"
#include "core/findings/table.h"

namespace aftercurve {

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
    const auto write = [&](const std::string& name, const std::string& bytes) {
        written.push_back(name);
        return writeAtomically(folder / name, bytes);
    };
    if (auto done = write("results.json", resultsJson(findings)); !done.ok()) {
        return done.problem();
    }
    for (const TableKind& kind : tableList()) {
        const std::string name = "tables/" + std::string{kind.key} + ".csv";
        if (auto done = write(name, asCsv(kind.build(study, findings))); !done.ok()) {
            return done.problem();
        }
    }
    for (const RecomputeFile& file : recomputeFiles(study, findings)) {
        if (auto done = write("recompute/" + file.name, file.bytes); !done.ok()) {
            return done.problem();
        }
    }
    return written;
}

}  // namespace aftercurve
