// The subjects file of an edited study.
#include <algorithm>

#include "core/edit/samples_patch.h"
#include "core/edit/table_patch.h"
#include "core/files/id_index.h"

namespace aftercurve {

namespace {

bool saysMoreThanItsCode(const Subject& subject) {
    return !subject.sequence.empty() || !subject.sex.empty() || subject.ageY || subject.bmiKgM2;
}

/// True where the subjects with a row, and then the others as samples, visits and diary name them, are the
/// list.
bool followFromFiles(const Study& study, const std::vector<bool>& withRow) {
    std::vector<bool> seen = withRow;
    std::size_t next = 0;
    while (next < seen.size() && seen[next]) {
        ++next;
    }
    const auto meet = [&](std::uint32_t subject) {
        if (seen[subject]) {
            return true;
        }
        seen[subject] = true;
        return subject == next++;
    };
    IdIndex byId;
    for (std::size_t i = 0; i < study.subjects.size(); ++i) {
        byId.add(study.subjects[i].id, static_cast<std::uint32_t>(i));
    }
    const std::size_t first = next;
    for (std::size_t i = first; i < seen.size(); ++i) {
        if (seen[i] || saysMoreThanItsCode(study.subjects[i])) {
            return false;
        }
    }
    return std::all_of(study.draws.begin(), study.draws.end(),
                       [&](const Draw& draw) { return meet(draw.subject); }) &&
           std::all_of(study.visits.begin(), study.visits.end(),
                       [&](const VisitRecord& visit) { return meet(visit.subject); }) &&
           std::all_of(study.diary.days.begin(), study.diary.days.end(),
                       [&](const DiaryDay& day) {
                           const auto subject = byId.find(day.subject);
                           return subject && meet(*subject);
                       }) &&
           next == study.subjects.size();
}

}  // namespace

bool needsSubjectsFile(const Study& study) {
    return !followFromFiles(study, std::vector<bool>(study.subjects.size(), false));
}

std::string patchedSubjects(std::string_view bytes, const Study& was, const Study& now,
                            const Origins& origins) {
    const CsvRows file = csvRows(bytes);
    std::vector<bool> withRow(now.subjects.size(), false);
    for (std::size_t i = 0; i < now.subjects.size(); ++i) {
        // The subjects of the file come first in the study, in its order.
        withRow[i] = origins.subjects[i] && *origins.subjects[i] < file.rows.size();
    }
    const bool all = !followFromFiles(now, withRow);
    std::vector<PatchRow> rows;
    for (std::size_t i = 0; i < now.subjects.size(); ++i) {
        if (withRow[i]) {
            rows.push_back({i, *origins.subjects[i], *origins.subjects[i]});
        } else if (all) {
            rows.push_back({i, 0, std::nullopt});
        }
    }
    const auto columns = plainColumns(file, now, StudyTable::subjects, rows);
    return patchedTable(file, was, now, StudyTable::subjects, columns, {}, rows);
}

}  // namespace aftercurve
