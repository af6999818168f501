#pragma once

#include <string>

#include "core/study/study.h"

namespace aftercurve::test {

/// The members in which two studies differ, but for the files that they were read from (`inputs`,
/// `studyJson`); empty where they are equal.
inline std::string differences(const Study& one, const Study& other) {
    std::string names;
    const auto compare = [&names](bool same, const char* name) {
        names += same ? "" : std::string{name} + " ";
    };
    compare(one.title == other.title, "title");
    compare(one.foods == other.foods, "foods");
    compare(one.analytes == other.analytes, "analytes");
    compare(one.subjects == other.subjects, "subjects");
    compare(one.sampleFiles == other.sampleFiles, "sampleFiles");
    compare(one.subjectsFile == other.subjectsFile, "subjectsFile");
    compare(one.visitsFile == other.visitsFile, "visitsFile");
    compare(one.draws == other.draws, "draws");
    compare(one.concentrations == other.concentrations, "concentrations");
    compare(one.nominalMin == other.nominalMin, "nominalMin");
    compare(one.replicate == other.replicate, "replicate");
    compare(one.belowLimit == other.belowLimit, "belowLimit");
    compare(one.remarks == other.remarks, "remarks");
    compare(one.visits == other.visits, "visits");
    // Members that a later version may add are caught as well.
    Study first = one;
    first.inputs = other.inputs;
    first.studyJson = other.studyJson;
    compare(!names.empty() || first == other, "another member");
    return names;
}

}  // namespace aftercurve::test
