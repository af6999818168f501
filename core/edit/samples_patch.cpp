#include "core/edit/samples_patch.h"

#include <algorithm>

#include "core/edit/draw_facts.h"
#include "core/edit/table_edits.h"
#include "core/edit/table_patch.h"
#include "core/files/csv_cell.h"
#include "core/files/excerpt.h"
#include "core/files/problem_list.h"
#include "core/files/samples_header.h"
#include "core/files/study_json.h"

namespace aftercurve {

namespace {

bool hasConcentration(const Study& study, std::size_t row, std::size_t analyte) {
    return study.concentrations[analyte][row] ||
           belowLimitAt(study, static_cast<std::uint32_t>(row), static_cast<std::uint32_t>(analyte)) ||
           flawAt(study, row, analyte) != nullptr;
}

class SamplesPatch {
  public:
    SamplesPatch(StudyDeclaration declared, std::span<const std::string_view> files, const Study& was,
                 const Study& now, const Origins& origins)
        : declared_(std::move(declared)),
          was_(was),
          now_(now),
          origins_(origins),
          states_(was.analytes.size()),
          inSomeFile_(now.analytes.size(), false) {
        ProblemList unheard{0};
        Study headed = declared_.study;
        for (std::size_t i = 0; i < files.size(); ++i) {
            files_.push_back(csvRows(files[i]));
            const CsvHeader header{1, files_.back().names};
            const auto columns = findSamplesColumns(header, now.sampleFiles[i], headed, declared_.conversions,
                                                    states_, unheard);
            columns_.push_back(columns.value_or(SamplesColumns{}));
            for (std::size_t a = 0; a < now.analytes.size(); ++a) {
                inSomeFile_[a] = inSomeFile_[a] || columnOf(i, a) != nullptr;
            }
        }
    }

    Result<std::vector<std::string>> all() {
        std::vector<std::string> patched;
        for (std::size_t file = 0; file < files_.size(); ++file) {
            if (auto problem = clashIn(file)) {
                return *problem;
            }
            patched.push_back(one(file));
        }
        return patched;
    }

  private:
    /// The column of an analyte of the edited study.
    const AnalyteColumn* columnOf(std::size_t file, std::size_t analyte) const {
        for (const AnalyteColumn& column : columns_[file].analytes) {
            if (origins_.analytes[analyte] == column.analyte) {
                return &column;
            }
        }
        return nullptr;
    }

    /// Where a column that is not read now would be read as an analyte's under its name.
    std::optional<std::size_t> unreadColumnOf(std::size_t file, std::size_t analyte) const {
        const std::vector<std::string>& names = files_[file].names;
        for (std::size_t i = 0; i < names.size(); ++i) {
            const auto& read = columns_[file].analytes;
            const bool known = std::any_of(read.begin(), read.end(), [&](const AnalyteColumn& column) {
                return column.column == i && isKept(column.analyte);
            });
            auto named = findAnalyte(now_, names[i]);
            named = named ? named : findAnalyte(now_, splitUnit(names[i]).name);
            if (!known && named == analyte) {
                return i;
            }
        }
        return std::nullopt;
    }

    bool holdsNothing(std::size_t file, std::size_t column) const {
        for (std::size_t row = 0; row < files_[file].rows.size(); ++row) {
            if (!files_[file].isMissing(row, column)) {
                return false;
            }
        }
        return true;
    }

    /// Values that were not read so far must not become an analyte's by its name. A column without any is
    /// its place.
    std::optional<Problem> clashIn(std::size_t file) const {
        for (std::size_t a = 0; a < now_.analytes.size(); ++a) {
            const auto unread = unreadColumnOf(file, a);
            if (unread && (columnOf(file, a) != nullptr || !holdsNothing(file, *unread))) {
                const std::string& name = files_[file].names[*unread];
                return problemAt(now_.sampleFiles[file], files_[file].header.line, name,
                                 "the column " + quote(name) +
                                     " is not read so far, and would be taken for the analyte of that name",
                                 "give the analyte another name, or rename the column in the file");
            }
        }
        return std::nullopt;
    }

    bool isKept(std::size_t wasAnalyte) const {
        return std::find(origins_.analytes.begin(), origins_.analytes.end(), std::optional{wasAnalyte}) !=
               origins_.analytes.end();
    }

    std::vector<PatchRow> rowsOf(std::size_t file) const {
        const CsvRows& rows = files_[file];
        std::vector<std::size_t> wasOn(rows.rows.size(), was_.draws.size());
        for (std::size_t i = 0; i < was_.draws.size(); ++i) {
            if (was_.draws[i].file == file) {
                if (const auto row = rows.rowOn(was_.draws[i].row)) {
                    wasOn[*row] = i;
                }
            }
        }
        std::vector<PatchRow> list;
        for (std::size_t i = 0; i < now_.draws.size(); ++i) {
            const Draw& draw = now_.draws[i];
            if (draw.file != file) {
                continue;
            }
            PatchRow row{i, 0, draw.row != 0 ? rows.rowOn(draw.row) : std::nullopt};
            if (row.fileRow && wasOn[*row.fileRow] == was_.draws.size()) {
                row.fileRow = std::nullopt;  // taken by another row already
            }
            if (row.fileRow) {
                row.was = wasOn[*row.fileRow];
                wasOn[*row.fileRow] = was_.draws.size();
            }
            list.push_back(row);
        }
        return list;
    }

    /// The column of an analyte as it is to be, with its new header where that changes.
    PatchColumn analyteColumn(std::size_t file, std::size_t analyte, const AnalyteColumn& column,
                              std::vector<NewCell>& header) const {
        PatchColumn patch;
        patch.column = columnsBeforeAnalytes + analyte;
        patch.was = columnsBeforeAnalytes + column.analyte;
        patch.position = column.column;
        patch.factor = column.factor;
        const Analyte& before = was_.analytes[column.analyte];
        const Analyte& after = now_.analytes[analyte];
        if (before.id == after.id && before.unit == after.unit) {
            return patch;
        }
        const std::string& name = files_[file].names[column.column];
        const std::string_view unit = name == before.id ? std::string_view{} : splitUnit(name).unit;
        if (unit.empty()) {
            header.push_back({column.column, textCell(after.id)});
            return patch;
        }
        const auto factor =
            conversionFactor(after.id, unit, after.unit, declared_.conversions[column.analyte]);
        if (factor && factor.value() == column.factor) {
            header.push_back({column.column, textCell(after.id + " [" + std::string{unit} + "]")});
            return patch;
        }
        const std::string own = after.unit.empty() ? "" : " [" + after.unit + "]";
        header.push_back({column.column, textCell(after.id + own)});
        patch.factor = 1.0;
        patch.rewrite = column.factor != 1.0;
        return patch;
    }

    static PatchColumn unreadColumn(std::size_t analyte, std::size_t position) {
        PatchColumn patch;
        patch.column = columnsBeforeAnalytes + analyte;
        patch.position = position;
        patch.rewrite = true;
        patch.unread = true;
        return patch;
    }

    /// Name of an analyte's column that is added: with the unit where study.json gives none, since all files
    /// must give it then.
    std::string addedName(std::size_t analyte) const {
        const Analyte& one = now_.analytes[analyte];
        const auto origin = origins_.analytes[analyte];
        const bool fromHeader = origin && declared_.study.analytes[*origin].unit.empty() &&
                                was_.analytes[*origin].unit == one.unit && !one.unit.empty();
        return fromHeader ? one.id + " [" + one.unit + "]" : one.id;
    }

    std::string one(std::size_t file) {
        const std::vector<PatchRow> rows = rowsOf(file);
        std::vector<PatchColumn> columns = plainColumns(files_[file], now_, StudyTable::samples, rows);
        std::vector<NewCell> header;
        for (std::size_t a = 0; a < now_.analytes.size(); ++a) {
            if (const AnalyteColumn* column = columnOf(file, a)) {
                columns.push_back(analyteColumn(file, a, *column, header));
                continue;
            }
            if (const auto unread = unreadColumnOf(file, a)) {
                columns.push_back(unreadColumn(a, *unread));
                header.push_back({*unread, textCell(addedName(a))});
                inSomeFile_[a] = true;
                continue;
            }
            const bool needed = std::any_of(rows.begin(), rows.end(), [&](const PatchRow& row) {
                return hasConcentration(now_, row.now, a);
            });
            if (needed || !inSomeFile_[a]) {
                inSomeFile_[a] = true;
                const std::size_t at = columnsBeforeAnalytes + a;
                columns.push_back({at, at, std::nullopt, 1.0, false, false, addedName(a)});
            }
        }
        return patchedTable(files_[file], was_, now_, StudyTable::samples, columns, header, rows);
    }

    StudyDeclaration declared_;
    const Study& was_;
    const Study& now_;
    const Origins& origins_;
    std::vector<AnalyteState> states_;
    std::vector<bool> inSomeFile_;
    std::vector<CsvRows> files_;
    std::vector<SamplesColumns> columns_;
};

}  // namespace

Result<std::vector<std::string>> patchedSamples(std::string_view studyJson,
                                                std::span<const std::string_view> files, const Study& was,
                                                const Study& now, const Origins& origins) {
    ProblemList problems{1};
    auto declared = readStudyJson(studyJson, ReadLimits{}, problems);
    if (!declared) {
        return problems.take().front();
    }
    return SamplesPatch{std::move(*declared), files, was, now, origins}.all();
}

}  // namespace aftercurve
