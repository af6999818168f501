#include <algorithm>
#include <utility>

#include "core/base/number_text.h"
#include "core/files/csv_cell.h"
#include "core/findings/recompute/parts.h"

namespace aftercurve {

namespace {

void addRow(ReportedRows& rows, const ReportedPlace& place, std::string_view quantity,
            const std::string& value, std::string_view text, std::string_view absentBecause) {
    ++rows.count;
    const auto number = [](std::size_t n) { return n == 0 ? std::string{} : std::to_string(n); };
    rows.csv += std::to_string(rows.count) + ',' + place.table + ',' + textCell(place.row) + ',' +
                number(place.analyte) + ',' + place.measure + ',' + number(place.food) + ',' +
                number(place.comparator) + ',' + number(place.subject) + ',' +
                (place.visit == 0 ? "" : std::to_string(place.visit)) + ',' + textCell(place.item) + ',';
    rows.csv += quantity;
    rows.csv += ',' + value + ',' + textCell(text) + ',' +
                (value.empty() && text.empty() ? textCell(absentBecause) : "") + '\n';
}

}  // namespace

StudyNumbers numbersOf(const Study& study) {
    StudyNumbers numbers;
    const auto number = [](const auto& things, auto& into) {
        for (std::size_t i = 0; i < things.size(); ++i) {
            into.emplace(things[i].id, i + 1);
        }
    };
    number(study.subjects, numbers.subject);
    number(study.foods, numbers.food);
    number(study.analytes, numbers.analyte);
    return numbers;
}

std::vector<GridSetting> gridSettings(const Findings& findings) {
    std::vector<GridSetting> settings;
    for (const SensitivityFinding& finding : findings.sensitivity) {
        for (const SensitivityRow& row : finding.rows) {
            const GridSetting setting{row.windowEndMin, row.baseline, row.exclusionsApplied};
            if (std::find(settings.begin(), settings.end(), setting) == settings.end()) {
                settings.push_back(setting);
            }
        }
    }
    return settings;
}

void addNumber(ReportedRows& rows, const ReportedPlace& place, std::string_view quantity,
               const std::optional<double>& value, std::string_view absentBecause) {
    addRow(rows, place, quantity, value ? plainNumber(*value) : "", "", absentBecause);
}

void addCount(ReportedRows& rows, const ReportedPlace& place, std::string_view quantity, std::size_t count) {
    addRow(rows, place, quantity, std::to_string(count), "", {});
}

void addTableRow(ReportedRows& rows, ReportedPlace place, const Table& table, const Row& row,
                 std::span<const std::string_view> words) {
    const auto textOf = [](const Cell& cell) {
        const auto* text = std::get_if<std::string>(&cell);
        return text == nullptr ? std::string{} : *text;
    };
    std::string reason = table.columns.back().key == "remark" ? textOf(row.cells.back()) : std::string{};
    if (reason.empty()) {
        reason = "not given, or does not apply";
    }
    place.table = table.key;
    place.row = row.key;
    for (std::size_t c = 0; c < table.columns.size(); ++c) {
        const std::string& key = table.columns[c].key;
        if (table.columns[c].kind == ColumnKind::text) {
            if (std::find(words.begin(), words.end(), key) != words.end()) {
                addWord(rows, place, key, textOf(row.cells[c]), reason);
            }
            continue;
        }
        const auto* number = std::get_if<double>(&row.cells[c]);
        const auto* count = std::get_if<std::int64_t>(&row.cells[c]);
        addNumber(rows, place, key,
                  number != nullptr  ? std::optional{*number}
                  : count != nullptr ? std::optional{static_cast<double>(*count)}
                                     : std::nullopt,
                  reason);
    }
}

void addWord(ReportedRows& rows, const ReportedPlace& place, std::string_view quantity, std::string_view word,
             std::string_view absentBecause) {
    addRow(rows, place, quantity, "", word, absentBecause);
}

}  // namespace aftercurve
