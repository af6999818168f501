#include "ui/headless/bundle_command.h"

#include <ostream>
#include <system_error>
#include <utility>

#include "core/bundle/bundle_check.h"
#include "core/files/atomic_write.h"
#include "core/files/excerpt.h"
#include "core/files/problem_list.h"
#include "core/files/read_file.h"
#include "ui/bundle/make_bundle.h"
#include "ui/headless/progress_line.h"

namespace aftercurve {

namespace {

constexpr std::uintmax_t mostLicenceBytes = std::uintmax_t{1} << 20;

Exit failed(const Problem& problem, Exit exit, std::ostream& messages) {
    messages << lineFor(problem) << '\n';
    return exit;
}

void print(const std::vector<Problem>& problems, std::ostream& messages) {
    for (const Problem& problem : problems) {
        messages << lineFor(problem) << '\n';
    }
}

}  // namespace

Result<std::string> licenceFrom(const std::string& given) {
    std::error_code error;
    if (given.empty() || given.find('\n') != std::string::npos) {
        return given;
    }
    if (std::filesystem::is_regular_file(given, error)) {
        const auto bytes = readAnywhere(given, mostLicenceBytes);
        if (!bytes) {
            return bytes.problem();
        }
        if (bytes.value().size == 0) {
            return problemAt(given, 0, {}, "the file of the licence is empty",
                             "give a text, or leave it out");
        }
        return std::string{bytes.value().view()};
    }
    const bool oneWord = given.find(' ') == std::string::npos;
    if (oneWord &&
        (given.find('/') != std::string::npos || given.ends_with(".txt") || given.ends_with(".md"))) {
        return problemAt({}, 0, {}, "there is no file " + quote(given), "check the path, or give the text");
    }
    return given;
}

Exit runBundle(const BundleArguments& arguments, std::ostream& out, std::ostream& messages, bool terminal) {
    auto licence = licenceFrom(arguments.licence);
    if (!licence) {
        return failed(licence.problem(), Exit::usage, messages);
    }
    const BundleFacts facts{arguments.date, arguments.creator, std::move(licence).value()};
    if (const std::string fault = faultOf(facts); !fault.empty()) {
        return failed(problemAt({}, 0, {}, fault, "see bundle --help"), Exit::usage, messages);
    }
    BundleDraft draft;
    {
        ProgressLine line(messages, terminal);
        draft = draftBundle(arguments.study, [&line](double fraction, std::string_view stage) {
            line.report(fraction, stage);
            return true;
        });
    }
    if (!draft.analysed.study) {
        print(draft.analysed.problems, messages);
        return Exit::unreadable;
    }
    print(draft.analysed.findings.problems, messages);
    print(draft.personal, messages);
    if (!draft.personal.empty() && !arguments.anyway) {
        return failed(
            problemAt({}, 0, {}, "no bundle was made, since columns look as if they identified people",
                      "take them out of the study; or, where they hold no such thing, add --anyway"),
            Exit::usage, messages);
    }
    const Exit exit = errorCount(draft.analysed.findings.problems) > 0 ? Exit::partly : Exit::done;
    {
        ProgressLine line(messages, terminal);
        const auto drawn = addFiguresAndReport(draft, [&line](double fraction, std::string_view stage) {
            line.report(fraction, stage);
            return true;
        });
        if (!drawn) {
            return failed(drawn.problem(), Exit::unreadable, messages);
        }
    }
    const auto written = finishBundle(std::move(draft), facts, arguments.out);
    if (!written) {
        return failed(written.problem(), Exit::unreadable, messages);
    }
    out << "Written: " << printable(arguments.out.string()) << '\n';
    if (facts.licence.empty()) {
        out << "No licence was chosen; LICENCE.txt says so.\n";
    }
    return exit;
}

Exit runVerify(const std::filesystem::path& bundle, const std::filesystem::path& json, std::ostream& out,
               std::ostream& messages, bool terminal) {
    BundleReport report;
    {
        ProgressLine line(messages, terminal);
        report = checkBundle(bundle, [&line](double fraction, std::string_view stage) {
            line.report(fraction, stage);
            return true;
        });
    }
    out << textOf(report);
    if (!json.empty()) {
        if (const auto done = writeAtomically(json, jsonOf(report)); !done) {
            return failed(done.problem(), Exit::unreadable, messages);
        }
    }
    switch (report.verdict) {
        case BundleVerdict::same:
            return Exit::done;
        case BundleVerdict::differs:
            return Exit::partly;
        case BundleVerdict::unreadable:
            break;
    }
    return Exit::unreadable;
}

}  // namespace aftercurve
