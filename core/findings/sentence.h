#pragma once

#include <string>
#include <vector>

#include "core/figure/figure_spec.h"
#include "core/findings/findings.h"
#include "core/findings/study_flow.h"
#include "core/study/study.h"

namespace aftercurve {

/// Where the numbers of a sentence stand: a row of a table.
struct SentenceSource {
    std::string table;  ///< key of a table: "comparisons"
    std::size_t row = 0;

    bool operator==(const SentenceSource&) const = default;
};

/// One sentence of a manuscript, and where each of its numbers comes from.
struct Sentence {
    std::string text;
    std::vector<SentenceSource> sources;

    bool operator==(const Sentence&) const = default;
};

/// How the study was run and computed, in the past tense, from what was really done.
std::vector<Sentence> methodsSentences(const Study& study, const Findings& findings);

/// What was found, in the order of the tables.
std::vector<Sentence> resultsSentences(const Study& study, const Findings& findings);

/// The caption of a figure without its number: what it shows, n, what bars and marks mean, the test behind
/// it.
std::string captionOf(const Study& study, const Findings& findings, const FigureSpec& figure);

/// Counts of subjects and visits; no number is guessed.
StudyFlow studyFlow(const Study& study, const Findings& findings);

}  // namespace aftercurve
