#pragma once

#include <cstddef>
#include <cstdint>
#include <filesystem>
#include <optional>
#include <span>
#include <string>
#include <string_view>
#include <vector>

#include "core/base/result.h"
#include "core/study/study.h"

namespace aftercurve {

/// The record of what was changed in a study folder, by whom and why: JSON lines, only ever appended to.
inline constexpr const char* ledgerName = "ledger.jsonl";

/// Bounds on the ledger; a file past one is refused or the chain ends there.
inline constexpr std::uintmax_t mostLedgerBytes = std::uintmax_t{64} << 20;
inline constexpr std::size_t mostLedgerLineBytes = std::size_t{1} << 20;

/// What an entry concerns. What does not apply is empty (row 0). In historyOf it is a question: what is empty
/// asks nothing.
struct LedgerPlace {
    std::string table;  ///< samples, subjects, plan, exclusions, ...
    std::string file;
    std::size_t row = 0;  ///< line in `file` at the time of the change, the header being line 1
    std::string subject;
    std::string food;
    std::optional<int> visit;
    std::optional<double> timeMin;
    std::string field;  ///< analyte, column or key

    bool operator==(const LedgerPlace&) const = default;
};

/// One change, or one act such as an import.
struct LedgerEntry {
    std::uint64_t n = 0;  ///< from 1, without a gap; given by appendedLedger
    std::string on;       ///< ISO 8601, UTC; given by the caller
    std::string by;
    /// value, row-added, row-removed, exclusion, acceptance, plan, import, migration or files. A word that a
    /// newer program wrote is kept.
    std::string what;
    LedgerPlace where;
    std::optional<std::string> from;  ///< as written in the file; absent: there was nothing
    std::optional<std::string> to;    ///< absent: there is nothing any more
    std::string why;
    /// Every file of the study as it is after the save, study.json first; on the last entry of a save.
    std::vector<InputFile> inputs;
    std::string previous;  ///< SHA-256 of the line before, without its line end; empty in the first

    bool operator==(const LedgerEntry&) const = default;
};

/// A ledger as far as its chain holds.
struct LedgerCheck {
    std::vector<LedgerEntry> entries;  ///< those before the first broken line; they stand
    std::size_t lines = 0;             ///< lines in the file, broken ones too
    std::string lastHash;              ///< SHA-256 of the last line, which the next one names; empty for none
    std::optional<Problem> broken;     ///< a warning that names the line
};

/// Follows the chain. A line is broken that is no JSON object of this kind, is not UTF-8, is longer than
/// mostLedgerLineBytes, has another number than its place, or does not name the SHA-256 of the line before
/// it. What this cannot show: a change of the very last line, lines cut off the end, and a file that was
/// written anew as a whole. It protects against mistakes, not against forgery.
LedgerCheck checkLedger(std::string_view bytes);

struct Ledger {
    std::string bytes;
    LedgerCheck check;
};

/// Reads ledger.jsonl; a folder without one has an empty ledger. Fails where the file is there and cannot be
/// read or has more than mostLedgerBytes. An interrupted save is seen through.
Result<Ledger> readLedger(const std::filesystem::path& folder);

/// The lines for `entries` after a line of hash `lastHash` (empty: none), each naming the one before; their
/// `previous` is not looked at. Fails for text that is not UTF-8 and for a line that is too long.
Result<std::string> ledgerLines(std::span<const LedgerEntry> entries, std::string lastHash);

/// The whole new file for saveTogether: the old bytes, then `entries` with the numbers that follow. A ledger
/// whose chain is broken is continued and stays broken at that line. Fails as ledgerLines, and where the file
/// would pass mostLedgerBytes.
Result<std::string> appendedLedger(const Ledger& old, std::span<const LedgerEntry> entries);

/// The entries that concern `where`, oldest first. The row is not compared, since rows move. An entry that
/// added or removed a row concerns each of its fields.
std::vector<LedgerEntry> historyOf(std::span<const LedgerEntry> entries, const LedgerPlace& where);

/// Warnings for files that are not as the last save left them: changed by another program, or gone. `now`
/// holds the files as read (Study::inputs).
std::vector<Problem> changedOutside(std::span<const InputFile> now, std::span<const LedgerEntry> entries);
/// The same with the files hashed here.
std::vector<Problem> changedOutside(const std::filesystem::path& folder,
                                    std::span<const LedgerEntry> entries);

/// What a reader of the study must know of its ledger: a broken chain, changes from outside, a ledger that
/// cannot be read. Warnings; no number depends on them.
std::vector<Problem> ledgerProblems(const std::filesystem::path& folder, std::span<const InputFile> now);

/// "12  2026-03-02T10:11:12Z  AB  value  samples.csv:14, subject 07, drink, visit 2, 15 min, glucose: 5.4
/// -> 5.6 (typing error)", without control characters.
std::string lineFor(const LedgerEntry& entry);

}  // namespace aftercurve
