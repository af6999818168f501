#include "core/publish/write_tables.h"

#include <algorithm>
#include <system_error>

#include "core/files/atomic_write.h"
#include "core/files/excerpt.h"
#include "core/findings/table.h"
#include "core/publish/table_formats.h"

namespace aftercurve {

namespace {

Problem problemOf(std::string what, std::string remedy) {
    Problem problem;
    problem.what = std::move(what);
    problem.remedy = std::move(remedy);
    return problem;
}

bool isTable(std::string_view key) {
    const auto kinds = tableList();
    return std::any_of(kinds.begin(), kinds.end(), [key](const TableKind& kind) { return kind.key == key; });
}

std::string tableKeys() {
    std::string keys;
    for (const TableKind& kind : tableList()) {
        keys += (keys.empty() ? "" : ", ") + std::string{kind.key};
    }
    return keys;
}

std::vector<Table> tablesOf(const Study& study, const Findings& findings, const TablesRequest& request) {
    std::vector<Table> tables;
    for (const TableKind& kind : tableList()) {
        const bool named =
            std::find(request.tables.begin(), request.tables.end(), kind.key) != request.tables.end();
        if (!named && !request.tables.empty()) {
            continue;
        }
        Table table = kind.build(study, findings);
        if (named || !table.rows.empty()) {
            tables.push_back(std::move(table));
        }
    }
    return tables;
}

/// Files of one format, written one after the other.
Result<Done> writeFormat(const TableFormat& format, std::span<const Table> tables,
                         const Publication& publication, const std::filesystem::path& folder,
                         std::vector<std::string>& written) {
    const std::size_t step = format.holdsMany ? tables.size() : 1;
    for (std::size_t first = 0; first < tables.size(); first += step) {
        const auto some = tables.subspan(first, step);
        const std::string stem = some.size() == 1 ? some.front().key : std::string{"tables"};
        const std::string name = stem + "." + std::string{format.key};
        const auto bytes = format.bytes(some, publication);
        if (!bytes) {
            return bytes.problem();
        }
        if (auto done = writeAtomically(folder / name, bytes.value()); !done) {
            return done.problem();
        }
        if (std::find(written.begin(), written.end(), name) == written.end()) {
            written.push_back(name);
        }
    }
    return Done{};
}

}  // namespace

Result<Done> checkedRequest(const TablesRequest& request) {
    for (const std::string& key : request.formats) {
        if (findTableFormat(key) == nullptr) {
            return problemOf("there is no format " + quote(key), "choose of " + tableFormatKeys());
        }
    }
    for (const std::string& key : request.tables) {
        if (!isTable(key)) {
            return problemOf("there is no table " + quote(key), "choose of " + tableKeys());
        }
    }
    return Done{};
}

Result<std::vector<std::string>> writeTables(const Study& study, const Findings& findings,
                                             const TablesRequest& request,
                                             const std::filesystem::path& folder) {
    if (auto fault = checkedRequest(request); !fault) {
        return fault.problem();
    }
    const std::vector<Table> tables = tablesOf(study, findings, request);
    if (tables.empty()) {
        return problemOf("no table has a row", "look at the problems of the study");
    }
    std::error_code error;
    std::filesystem::create_directories(folder, error);
    if (error) {
        Problem problem = problemOf("cannot make this folder: " + error.message(), "choose another folder");
        problem.file = folder.string();
        return problem;
    }
    const Publication publication = publicationOf(study);
    std::vector<std::string> written;
    for (const std::string& key : request.formats) {
        if (auto done = writeFormat(*findTableFormat(key), tables, publication, folder, written); !done) {
            return done.problem();
        }
    }
    return written;
}

}  // namespace aftercurve
