#pragma once

#include <gmock/gmock.h>

#include <algorithm>
#include <string>
#include <vector>

#include "core/files/study_folder.h"

namespace aftercurve {

/// For readable failures: every problem on a line.
inline std::string linesOf(const std::vector<Problem>& problems) {
    std::string text;
    for (const Problem& problem : problems) {
        text += lineFor(problem) + " [column " + problem.column + "]\n";
    }
    return text;
}

/// A list holds a problem of this severity at "file:row" (or "file") whose line names `text`.
MATCHER_P3(HasProblem, severity, place, text, "") {
    *result_listener << "the problems are:\n" << linesOf(arg);
    return std::any_of(arg.begin(), arg.end(), [&](const Problem& problem) {
        return problem.severity == severity && placeOf(problem) == place &&
               lineFor(problem).find(text) != std::string::npos;
    });
}

/// No study came of the reading, and an error says why.
MATCHER_P2(Refused, place, text, "") {
    *result_listener << (arg.study ? "a study was read; " : "no study; ");
    return !arg.study && testing::ExplainMatchResult(HasProblem(Severity::error, place, text), arg.problems,
                                                     result_listener);
}

/// No message carries a control character of the file, and what it quotes is short.
inline bool isFitForPrint(const std::vector<Problem>& problems) {
    return std::all_of(problems.begin(), problems.end(), [](const Problem& problem) {
        const auto fine = [](const std::string& text) {
            return text.size() < 600 && std::none_of(text.begin(), text.end(), [](char c) {
                       const auto byte = static_cast<unsigned char>(c);
                       return byte < 0x20 || byte == 0x7f;
                   });
        };
        return fine(problem.what) && fine(problem.remedy) && fine(problem.file) && fine(problem.column) &&
               fine(problem.subject) && fine(problem.food) && fine(problem.analyte);
    });
}

}  // namespace aftercurve
