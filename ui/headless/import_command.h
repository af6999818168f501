#pragma once

#include <filesystem>
#include <functional>
#include <iosfwd>
#include <span>
#include <string>
#include <vector>

#include "core/base/result.h"
#include "core/intake/input_table.h"
#include "core/study/study.h"
#include "ui/headless/commands.h"

namespace aftercurve {

struct ImportArguments {
    std::vector<std::filesystem::path> files;
    std::filesystem::path out;          ///< folder of the new study
    std::filesystem::path mapping;      ///< empty: guessed
    std::filesystem::path saveMapping;  ///< empty: not saved
    std::vector<std::string> sheets;    ///< patterns of the sheets to read; empty: all
    std::string title;
    bool dryRun = false;  ///< writes no study
};

/// Takes files of a laboratory in and writes them as a new study. Without a mapping it guesses one and prints
/// each item with its reason, one a line, to `out`; the mapping is saved where asked, questions or not. Open
/// questions, a file that cannot be read and every error end in Exit::unreadable, and no study is written.
/// Problems go to `messages`; the summary (subjects, foods, visits, draws, notes) to `out`.
Exit runImport(const ImportArguments& arguments, std::ostream& out, std::ostream& messages, bool terminal);

using StudyWriter = std::function<Result<Done>(const std::filesystem::path&, const Study&)>;

/// The same from tables that are open already; `write` puts the study into its folder.
Exit importTables(std::span<const InputTable> tables, const ImportArguments& arguments,
                  const StudyWriter& write, std::ostream& out, std::ostream& messages, bool terminal);

}  // namespace aftercurve
