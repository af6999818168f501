#include "ui/headless/analysed_study.h"

#include <ostream>

#include "core/files/study_folder.h"
#include "core/findings/analyse.h"
#include "ui/headless/progress_line.h"

namespace aftercurve {

namespace {

/// Takes the exclusions out of a study and puts a note in their place.
void ignoreExclusions(Study& study, std::vector<Problem>& problems) {
    const std::size_t count = study.exclusions.size();
    study.exclusions.clear();
    Problem note;
    note.severity = Severity::note;
    note.file = "study.json";
    note.column = "exclusions";
    note.what = "run with --ignore-exclusions: " +
                (count == 0 ? "the study has none" : std::to_string(count) + " of the study not applied");
    problems.push_back(std::move(note));
}

}  // namespace

void print(const std::vector<Problem>& problems, std::ostream& messages) {
    for (const Problem& problem : problems) {
        messages << lineFor(problem) << '\n';
    }
}

Analysed analysed(const std::filesystem::path& folder, bool withoutExclusions, std::ostream& messages,
                  bool terminal) {
    Analysed result;
    StudyReading reading;
    {
        ProgressLine line(messages, terminal);
        reading = readStudyFolder(folder, {}, [&line](double fraction) {
            line.report(fraction, "reading");
            return true;
        });
    }
    if (!reading.study) {
        print(reading.problems, messages);
        result.exit = Exit::unreadable;
        return result;
    }
    result.study = std::move(*reading.study);
    if (withoutExclusions) {
        ignoreExclusions(result.study, reading.problems);
    }
    ProgressLine line(messages, terminal);
    auto findings = analyse(result.study, result.study.plan, reading.problems,
                            [&line](double fraction, std::string_view stage) {
                                line.report(fraction, stage);
                                return true;
                            });
    if (!findings.ok()) {
        print(reading.problems, messages);
        messages << lineFor(findings.problem()) << '\n';
        result.exit = Exit::unreadable;
        return result;
    }
    result.findings = std::move(findings).value();
    result.findings.exclusionsIgnored = withoutExclusions;
    result.exit = errorCount(result.findings.problems) > 0 ? Exit::partly : Exit::done;
    result.ok = true;
    return result;
}

}  // namespace aftercurve
