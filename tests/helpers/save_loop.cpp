// Saves an invented study of several files over and over, with a counter in each file, until it is killed.
// For tests/core/files/save_killed_test.cpp.
//     save_loop FOLDER FIRST
// prints each counter on a line of its own once its save has returned.
#include <unistd.h>

#include <cstdlib>
#include <iostream>
#include <string>
#include <vector>

#include "core/files/ledger.h"
#include "core/files/sha256.h"
#include "core/files/staged_save.h"

using namespace aftercurve;

namespace {

/// False where the save failed.
bool saveCounter(const std::filesystem::path& folder, const std::string& counter) {
    const auto ledger = readLedger(folder);
    if (!ledger) {
        std::cerr << lineFor(ledger.problem()) << '\n';
        return false;
    }
    const std::string json = R"({"format": "aftercurve-study", "version": 2, "title": ")" + counter +
                             R"(", "foods": [{"id": "barley", "role": "test"}],
 "analytes": [{"id": "glucose", "unit": "mmol/L"}], "samples": ["samples.csv"], "subjects": "subjects.csv"})";
    const std::string samples =
        "subject,food,time_min,glucose\n01,barley,0," + counter + "\n01,barley,15," + counter + "\n";
    const std::string subjects = "subject,sequence\n01," + counter + "\n";
    LedgerEntry entry;
    entry.on = "2026-03-02T10:00:00Z";
    entry.by = "save_loop";
    entry.what = "value";
    entry.to = counter;
    entry.inputs = {{"study.json", sha256Hex(json)},
                    {"samples.csv", sha256Hex(samples)},
                    {"subjects.csv", sha256Hex(subjects)}};
    const auto lines = appendedLedger(ledger.value(), std::vector{entry});
    if (!lines) {
        std::cerr << lineFor(lines.problem()) << '\n';
        return false;
    }
    const std::vector<NewFile> files{{"study.json", json},
                                     {"samples.csv", samples},
                                     {"subjects.csv", subjects},
                                     {ledgerName, lines.value()}};
    const auto saved = saveTogether(folder, files);
    if (!saved) {
        std::cerr << lineFor(saved.problem()) << '\n';
    }
    return saved.ok();
}

}  // namespace

int main(int argc, char** argv) {
    if (argc != 3) {
        return 2;
    }
    for (long counter = std::strtol(argv[2], nullptr, 10);; ++counter) {
        if (!saveCounter(argv[1], std::to_string(counter))) {
            return 1;
        }
        const std::string line = std::to_string(counter) + "\n";
        if (::write(STDOUT_FILENO, line.data(), line.size()) != static_cast<ssize_t>(line.size())) {
            return 1;
        }
    }
}
