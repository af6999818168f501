#pragma once

#include <vector>

#include "core/findings/sentence.h"
#include "core/findings/sentence_rows.h"

namespace aftercurve {

/// The sentences of the methods, part by part; each adds what was really done, in the past tense.
struct MethodsWriting {
    const Study& study;
    const Findings& findings;
    SentenceRows rows;
    std::vector<Sentence> sentences = {};

    void add(std::string text, std::vector<SentenceSource> sources = {}) {
        sentences.push_back({std::move(text), std::move(sources)});
    }
};

void addDesign(MethodsWriting& w);      ///< subjects, foods, sequences, conduct
void addSampling(MethodsWriting& w);    ///< times, analytes, assay rules
void addCurveRules(MethodsWriting& w);  ///< window, baseline, measures, gaps, exclusions
void addTests(MethodsWriting& w);       ///< comparisons, models, margins
void addIndexRules(MethodsWriting& w);
void addPlanAndProgram(MethodsWriting& w);  ///< other choices, registered plan, software

}  // namespace aftercurve
