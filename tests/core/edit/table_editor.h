#pragma once

#include <gtest/gtest.h>

#include <string>
#include <utility>
#include <vector>

#include "core/edit/edit.h"
#include "tests/core/files/problem_matchers.h"
#include "tests/support/laboratory_study.h"

namespace aftercurve::test {

/// Changes of a study by the names of columns. A change that is made is taken back and made again on the way:
/// the study must be as before each time.
class TableEditor {
  public:
    explicit TableEditor(Study start) : study(std::move(start)) {}

    Study study;

    std::size_t column(StudyTable table, const std::string& name) const {
        const auto columns = columnsOf(study, table);
        for (std::size_t i = 0; i < columns.size(); ++i) {
            if (columns[i].name == name) {
                return i;
            }
        }
        ADD_FAILURE() << "no column " << name << " in " << nameOf(table);
        return 0;
    }

    std::string at(StudyTable table, std::size_t row, const std::string& name) const {
        return cellText(study, table, row, column(table, name));
    }

    /// Empty where it was made, else "column: what".
    std::string make(const Change& change) {
        const Study before = study;
        const auto inverse = apply(study, change);
        if (!inverse) {
            EXPECT_TRUE(study == before);
            EXPECT_FALSE(inverse.problem().remedy.empty());
            return inverse.problem().column + ": " + inverse.problem().what;
        }
        const Study after = study;
        const auto again = apply(study, inverse.value());
        EXPECT_TRUE(again) << describe(before, change);
        EXPECT_TRUE(study == before) << describe(before, change);
        EXPECT_TRUE(again && apply(study, again.value())) << describe(before, change);
        EXPECT_TRUE(study == after) << describe(before, change);
        return {};
    }

    std::string set(StudyTable table, std::size_t row, const std::string& name, const std::string& text) {
        return make(SetCell{table, row, column(table, name), text});
    }
    std::string insert(StudyTable table, std::size_t row, std::vector<std::string> cells) {
        return make(InsertRow{table, row, std::move(cells)});
    }
    std::string remove(StudyTable table, std::size_t row) { return make(RemoveRow{table, row}); }
};

inline Study laboratoryStudy() {
    const LaboratoryFolder files;
    StudyReading reading = files.read();
    EXPECT_TRUE(reading.study) << linesOf(reading.problems);
    return reading.study.value_or(Study{});
}

}  // namespace aftercurve::test
