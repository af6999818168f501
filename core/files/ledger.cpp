#include "core/files/ledger.h"

#include <algorithm>
#include <climits>
#include <utility>

#include "core/base/number_text.h"
#include "core/files/changed_on_disk.h"
#include "core/files/excerpt.h"
#include "core/files/ledger_json.h"
#include "core/files/open_inside.h"
#include "core/files/path_inside.h"
#include "core/files/problem_list.h"
#include "core/files/read_file.h"
#include "core/files/sha256.h"

namespace aftercurve {

namespace fs = std::filesystem;

namespace {

Problem brokenAt(std::size_t line, const std::string& reason) {
    const std::string stands =
        line == 1 ? "none of it stands" : "everything before line " + std::to_string(line) + " stands";
    Problem problem = problemAt(
        ledgerName, line, {},
        "the chain of changes is broken at line " + std::to_string(line) + ": " + reason + "; " + stands,
        "compare the file with a copy from before; the study itself is read as it is");
    problem.severity = Severity::warning;
    return problem;
}

/// The entry of a line that continues the chain; else why it does not.
Result<LedgerEntry> nextEntry(std::string_view line, std::size_t number, const std::string& lastHash) {
    if (line.size() > mostLedgerLineBytes) {
        return brokenAt(number, "it is longer than " + std::to_string(mostLedgerLineBytes) + " bytes");
    }
    Result<LedgerEntry> entry = ledgerEntryFrom(line);
    if (!entry) {
        return brokenAt(number, entry.problem().what);
    }
    if (entry.value().n != number) {
        return brokenAt(number, "it has the number " + std::to_string(entry.value().n));
    }
    if (entry.value().previous != lastHash) {
        return brokenAt(number, number == 1 ? "it follows a line that is not there"
                                            : "it does not follow the line before it, which was changed, "
                                              "moved or removed");
    }
    return entry;
}

bool asks(const std::string& asked, const std::string& found) {
    return asked.empty() || asked == found;
}

Problem outside(const std::string& file, const std::string& what, const std::string& remedy) {
    Problem problem = problemAt(file, 0, {}, quote(file) + what, remedy);
    problem.severity = Severity::warning;
    return problem;
}

Problem changed(const std::string& file) {
    return outside(file, " was changed by another program since the last save",
                   "check that the change is meant; its reason is not in the ledger");
}

Problem gone(const std::string& file) {
    return outside(file, ", there at the last save, is not there any more", "put it back if it is needed");
}

/// The files as the last save left them.
std::span<const InputFile> lastInputs(std::span<const LedgerEntry> entries) {
    for (std::size_t i = entries.size(); i > 0; --i) {
        if (!entries[i - 1].inputs.empty()) {
            return entries[i - 1].inputs;
        }
    }
    return {};
}

}  // namespace

LedgerCheck checkLedger(std::string_view bytes) {
    LedgerCheck check;
    std::string_view last;
    while (!bytes.empty()) {
        const std::size_t end = bytes.find('\n');
        const std::string_view line = bytes.substr(0, end);
        bytes.remove_prefix(end == std::string_view::npos ? bytes.size() : end + 1);
        ++check.lines;
        last = line;
        if (check.broken) {
            continue;
        }
        Result<LedgerEntry> entry = nextEntry(line, check.lines, check.lastHash);
        if (!entry) {
            check.broken = entry.problem();
            continue;
        }
        check.entries.push_back(std::move(entry).value());
        check.lastHash = sha256Hex(line);
    }
    if (check.broken) {
        check.lastHash = sha256Hex(last);
    }
    return check;
}

Result<Ledger> readLedger(const fs::path& folder) {
    const auto bytes = readInside(folder, ledgerName, mostLedgerBytes);
    if (bytes) {
        std::string text{bytes.value().view()};
        LedgerCheck check = checkLedger(text);
        return Ledger{std::move(text), std::move(check)};
    }
    // No ledger at all is an empty one; one that is there, or staged, and cannot be read is not.
    const auto staging = findStaging(folder);
    const auto target = resolveForWriting(folder, ledgerName);
    std::error_code error;
    if (staging && target && !stagedIndexOf(folder, staging.value(), target.value()) &&
        fs::symlink_status(target.value(), error).type() == fs::file_type::not_found) {
        return Ledger{};
    }
    return bytes.problem();
}

Result<std::string> ledgerLines(std::span<const LedgerEntry> entries, std::string lastHash) {
    std::string lines;
    for (const LedgerEntry& entry : entries) {
        const Result<std::string> line = ledgerLineFor(entry, lastHash);
        if (!line) {
            return line.problem();
        }
        if (line.value().size() > mostLedgerLineBytes) {
            return problemAt(ledgerName, 0, {}, "an entry of the ledger is longer than 1 MiB",
                             "shorten its reason or its values");
        }
        lastHash = sha256Hex(line.value());
        lines += line.value() + "\n";
    }
    return lines;
}

Result<std::string> appendedLedger(const Ledger& old, std::span<const LedgerEntry> entries) {
    std::vector<LedgerEntry> numbered(entries.begin(), entries.end());
    for (std::size_t i = 0; i < numbered.size(); ++i) {
        numbered[i].n = old.check.lines + i + 1;
    }
    const Result<std::string> lines = ledgerLines(numbered, old.check.lastHash);
    if (!lines) {
        return lines.problem();
    }
    const bool cut = !old.bytes.empty() && !old.bytes.ends_with('\n');
    std::string bytes = old.bytes + (cut ? "\n" : "") + lines.value();
    if (bytes.size() > mostLedgerBytes) {
        return problemAt(ledgerName, 0, {}, "the ledger would have more than 64 MiB",
                         "move it to another folder as a record; the next save begins a new one");
    }
    return bytes;
}

std::vector<LedgerEntry> historyOf(std::span<const LedgerEntry> entries, const LedgerPlace& where) {
    std::vector<LedgerEntry> found;
    for (const LedgerEntry& entry : entries) {
        const LedgerPlace& place = entry.where;
        const bool wholeRow = entry.what == "row-added" || entry.what == "row-removed";
        const bool sameField = asks(where.field, place.field) || (wholeRow && place.field.empty());
        if (asks(where.table, place.table) && asks(where.file, place.file) &&
            asks(where.subject, place.subject) && asks(where.food, place.food) && sameField &&
            (!where.visit || where.visit == place.visit) &&
            (!where.timeMin || where.timeMin == place.timeMin)) {
            found.push_back(entry);
        }
    }
    return found;
}

std::vector<Problem> changedOutside(std::span<const InputFile> now, std::span<const LedgerEntry> entries) {
    std::vector<Problem> problems;
    for (const InputFile& saved : lastInputs(entries)) {
        const auto found = std::find_if(now.begin(), now.end(),
                                        [&](const InputFile& input) { return input.file == saved.file; });
        if (found == now.end()) {
            problems.push_back(outside(saved.file,
                                       " belonged to the study at the last save and does not any more",
                                       "check study.json; it was changed by another program"));
        } else if (found->sha256 != saved.sha256) {
            problems.push_back(changed(saved.file));
        }
    }
    return problems;
}

std::vector<Problem> changedOutside(const fs::path& folder, std::span<const LedgerEntry> entries) {
    std::vector<Problem> problems;
    for (const ChangedFile& file : filesChanged(folder, lastInputs(entries))) {
        problems.push_back(file.how == FileChange::missing      ? gone(file.file)
                           : file.how == FileChange::unreadable ? *file.problem
                                                                : changed(file.file));
    }
    return problems;
}

std::vector<Problem> ledgerProblems(const fs::path& folder, std::span<const InputFile> now) {
    const Result<Ledger> ledger = readLedger(folder);
    if (!ledger) {
        Problem problem = ledger.problem();
        problem.severity = Severity::warning;
        return {problem};
    }
    std::vector<Problem> problems;
    const LedgerCheck& check = ledger.value().check;
    if (check.broken) {
        problems.push_back(*check.broken);
        return problems;  // which files the last save left is not known
    }
    return changedOutside(now, check.entries);
}

std::string lineFor(const LedgerEntry& entry) {
    const LedgerPlace& where = entry.where;
    std::vector<std::string> place;
    const auto add = [&place](const std::string& text) {
        if (!text.empty()) {
            place.push_back(text);
        }
    };
    add(where.file.empty() || where.row == 0 ? where.file : where.file + ":" + std::to_string(where.row));
    if (where.file.empty()) {
        add(where.table);
    }
    add(where.subject.empty() ? "" : "subject " + where.subject);
    add(where.food);
    add(where.visit ? "visit " + std::to_string(*where.visit) : "");
    add(where.timeMin ? plainNumber(*where.timeMin) + " min" : "");
    add(where.field);
    std::string text = std::to_string(entry.n) + "  " + entry.on + "  " + entry.by + "  " + entry.what;
    for (std::size_t i = 0; i < place.size(); ++i) {
        text += (i == 0 ? "  " : ", ") + place[i];
    }
    if (entry.from || entry.to) {
        text += ": " + entry.from.value_or("(nothing)") + " -> " + entry.to.value_or("(nothing)");
    }
    if (!entry.why.empty()) {
        text += " (" + entry.why + ")";
    }
    return printable(text);
}

}  // namespace aftercurve
