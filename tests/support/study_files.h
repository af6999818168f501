#pragma once

#include <string>
#include <string_view>

#include "core/files/study_folder.h"
#include "tests/support/temp_folder.h"

namespace aftercurve::test {

/// study.json of an invented study: two foods (drink, barley), glucose in mmol/L, one samples file. `extra`
/// goes before the closing brace: R"(, "plan": {...})".
inline std::string smallStudyJson(std::string_view extra = {}) {
    return R"({"format": "aftercurve-study", "version": 1, "title": "Invented barley study",
 "foods": [{"id": "drink", "label": "Glucose drink", "role": "reference"}, {"id": "barley", "role": "test"}],
 "analytes": [{"id": "glucose", "unit": "mmol/L"}],
 "samples": ["samples.csv"])" +
           std::string{extra} + "}";
}

/// A folder with study.json and samples.csv, and what comes of reading it.
struct StudyFiles {
    TempFolder folder;

    StudyFiles(std::string_view samples, std::string_view studyJson) {
        folder.write("study.json", studyJson);
        folder.write("samples.csv", samples);
    }
    explicit StudyFiles(std::string_view samples) : StudyFiles(samples, smallStudyJson()) {}

    StudyReading read(const ReadLimits& limits = {}) const { return readStudyFolder(folder.path(), limits); }
};

}  // namespace aftercurve::test
