#include <algorithm>
#include <ostream>
#include <set>
#include <tuple>

#include "core/files/atomic_write.h"
#include "core/files/excerpt.h"
#include "core/files/read_file.h"
#include "core/intake/guess.h"
#include "core/intake/mapping_json.h"
#include "core/intake/take_in.h"
#include "ui/headless/import_command.h"
#include "ui/headless/progress_line.h"

namespace aftercurve {

namespace {

constexpr std::uintmax_t largestMapping = 4u << 20;

void print(const std::vector<Problem>& problems, std::ostream& messages) {
    for (const Problem& problem : problems) {
        messages << lineFor(problem) << '\n';
    }
}

std::string counted(std::size_t count, const std::string& one) {
    return std::to_string(count) + " " + one + (count == 1 ? "" : "s");
}

/// Tables of the sheets that were asked for; texts have no sheets and stay.
std::vector<InputTable> chosenTables(std::span<const InputTable> tables,
                                     const std::vector<std::string>& sheets) {
    std::vector<InputTable> chosen;
    for (const InputTable& table : tables) {
        const bool wanted = sheets.empty() || !table.workbook ||
                            std::any_of(sheets.begin(), sheets.end(), [&table](const std::string& pattern) {
                                return fitsPattern(table.sheet, pattern);
                            });
        if (wanted) {
            chosen.push_back(table);
        }
    }
    return chosen;
}

std::optional<Mapping> readMappingFile(const std::filesystem::path& path, std::ostream& messages) {
    const std::string name = path.filename().string();
    const auto file = readInside(path.has_parent_path() ? path.parent_path() : ".", name, largestMapping);
    if (!file) {
        messages << lineFor(file.problem()) << '\n';
        return std::nullopt;
    }
    const MappingReading reading = readMapping(file.value().view(), name);
    print(reading.problems, messages);
    return reading.mapping;
}

/// Prints the guess; nothing where questions are open.
std::optional<Mapping> guessedMapping(std::span<const InputTable> tables, const ImportArguments& arguments,
                                      std::ostream& out, std::ostream& messages) {
    const GuessedMapping guessed = guessMapping(tables);
    for (const GuessedItem& item : guessed.items) {
        out << sentenceFor(item) << '\n';
    }
    print(guessed.problems, messages);
    for (const Question& question : guessed.questions) {
        messages << "question: " << sentenceFor(question) << '\n';
    }
    if (!arguments.saveMapping.empty()) {
        if (const auto done = writeAtomically(arguments.saveMapping, mappingText(guessed.mapping)); !done) {
            messages << lineFor(done.problem()) << '\n';
            return std::nullopt;
        }
        out << "mapping written: " << printable(arguments.saveMapping.string()) << '\n';
    }
    if (!guessed.questions.empty()) {
        const bool one = guessed.questions.size() == 1;
        messages << "error: " << counted(guessed.questions.size(), "question") << (one ? " is" : " are")
                 << " open; "
                 << (arguments.saveMapping.empty()
                         ? "write the mapping with --save-mapping FILE, fill in the keys above"
                         : "fill in the keys above in the mapping that was written")
                 << ", and run again with --mapping FILE\n";
        return std::nullopt;
    }
    return guessed.problems.empty() ? std::optional{guessed.mapping} : std::nullopt;
}

void printSummary(const Study& study, const std::vector<Problem>& problems, std::ostream& out) {
    std::set<std::tuple<std::uint32_t, std::uint32_t, std::int32_t>> visits;
    std::set<std::uint32_t> foods;
    for (const Draw& draw : study.draws) {
        visits.insert({draw.subject, draw.food, draw.visit});
        foods.insert(draw.food);
    }
    out << counted(study.subjects.size(), "subject") << ", " << counted(foods.size(), "food") << ", "
        << counted(visits.size(), "visit") << ", " << counted(study.draws.size(), "draw") << '\n';
    for (std::size_t a = 0; a < study.analytes.size(); ++a) {
        const auto& values = study.concentrations[a];
        const auto given = static_cast<std::size_t>(
            std::count_if(values.begin(), values.end(), [](const auto& value) { return value.has_value(); }));
        const auto below = static_cast<std::size_t>(
            std::count_if(study.belowLimit.begin(), study.belowLimit.end(),
                          [a](const BelowLimit& cell) { return cell.analyte == a; }));
        out << printable(study.analytes[a].id) << " (" << printable(study.analytes[a].unit)
            << "): " << counted(given, "value") << ", " << below << " below the limit of quantification, "
            << values.size() - given - below << " missing\n";
    }
    const auto ofSeverity = [&problems](Severity severity) {
        return static_cast<std::size_t>(
            std::count_if(problems.begin(), problems.end(),
                          [severity](const Problem& p) { return p.severity == severity; }));
    };
    out << counted(ofSeverity(Severity::warning), "warning") << ", "
        << counted(ofSeverity(Severity::note), "note") << '\n';
}

}  // namespace

Exit importTables(std::span<const InputTable> tables, const ImportArguments& arguments,
                  const StudyWriter& write, std::ostream& out, std::ostream& messages, bool terminal) {
    const std::vector<InputTable> chosen = chosenTables(tables, arguments.sheets);
    if (chosen.empty()) {
        messages << "error: no sheet has the name that --sheet gives; the sheets are:";
        for (const InputTable& table : tables) {
            messages << ' ' << quote(table.sheet);
        }
        messages << '\n';
        return Exit::unreadable;
    }
    const auto mapping = arguments.mapping.empty() ? guessedMapping(chosen, arguments, out, messages)
                                                   : readMappingFile(arguments.mapping, messages);
    if (!mapping) {
        return Exit::unreadable;
    }
    if (!arguments.mapping.empty() && !arguments.saveMapping.empty()) {
        if (const auto done = writeAtomically(arguments.saveMapping, mappingText(*mapping)); !done) {
            messages << lineFor(done.problem()) << '\n';
            return Exit::unreadable;
        }
    }
    TakeInOptions options;
    options.title = arguments.title;
    TakenIn taken;
    {
        ProgressLine line(messages, terminal);
        taken = takeIn(chosen, *mapping, options, [&line](double share) {
            line.report(share, "taking in");
            return true;
        });
    }
    print(taken.problems, messages);
    if (!taken.study) {
        return Exit::unreadable;
    }
    if (!arguments.dryRun) {
        if (const auto done = write(arguments.out, *taken.study); !done) {
            messages << lineFor(done.problem()) << '\n';
            return Exit::unreadable;
        }
        out << "study written: " << printable(arguments.out.string()) << '\n';
    }
    printSummary(*taken.study, taken.problems, out);
    return Exit::done;
}

}  // namespace aftercurve
