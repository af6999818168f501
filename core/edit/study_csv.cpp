// The CSV files of a study in canonical form.
#include <algorithm>

#include "core/edit/draw_facts.h"
#include "core/edit/save_study.h"
#include "core/edit/study_cells.h"
#include "core/edit/table_edits.h"
#include "core/files/csv_cell.h"

namespace aftercurve {

namespace {

/// The rows of a table with the columns that say something in one of them, or that `needed` asks for.
template <class Needed>
std::string csvOf(const Study& study, StudyTable table, const std::vector<std::size_t>& rows, Needed needed) {
    const std::vector<TableColumn> all = columnsOf(study, table);
    std::vector<std::size_t> columns;
    for (std::size_t i = 0; i < all.size(); ++i) {
        const bool used = std::any_of(rows.begin(), rows.end(),
                                      [&](std::size_t row) { return !isDefaultCell(study, table, row, i); });
        if (used || needed(i)) {
            columns.push_back(i);
        }
    }
    std::string text;
    for (const std::size_t column : columns) {
        text += (text.empty() ? "" : ",") + textCell(all[column].name);
    }
    text += '\n';
    for (const std::size_t row : rows) {
        for (std::size_t i = 0; i < columns.size(); ++i) {
            text += (i == 0 ? "" : ",") + fileCell(study, table, row, columns[i]);
        }
        text += '\n';
    }
    return text;
}

std::vector<std::size_t> firstRows(std::size_t count) {
    std::vector<std::size_t> rows(count);
    for (std::size_t i = 0; i < count; ++i) {
        rows[i] = i;
    }
    return rows;
}

}  // namespace

std::string samplesCsv(const Study& study, std::uint32_t file) {
    std::vector<std::size_t> rows;
    for (std::size_t i = 0; i < study.draws.size(); ++i) {
        if (study.draws[i].file == file) {
            rows.push_back(i);
        }
    }
    // Each analyte must have a column somewhere; one without any concentration stands in the first file.
    return csvOf(study, StudyTable::samples, rows, [&](std::size_t column) {
        const std::size_t analyte = column - columnsBeforeAnalytes;
        const bool homeless = column >= columnsBeforeAnalytes && analyte < study.analytes.size() &&
                              file == 0 && !hasConcentrations(study, analyte);
        return homeless || isNeededColumn(StudyTable::samples, column);
    });
}

std::string subjectsCsv(const Study& study) {
    return csvOf(study, StudyTable::subjects, firstRows(study.subjects.size()),
                 [](std::size_t column) { return isNeededColumn(StudyTable::subjects, column); });
}

std::string visitsCsv(const Study& study) {
    return csvOf(study, StudyTable::visits, firstRows(study.visits.size()),
                 [](std::size_t column) { return isNeededColumn(StudyTable::visits, column); });
}

}  // namespace aftercurve
