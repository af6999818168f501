// The samples table: one row a draw.
#include "core/base/number_text.h"
#include "core/edit/draw_facts.h"
#include "core/edit/table_edits.h"
#include "core/files/cell_rules.h"
#include "core/files/delimited.h"
#include "core/files/excerpt.h"
#include "core/files/study_folder.h"

namespace aftercurve {

namespace {

enum SamplesColumn : std::size_t { subject, food, visit, period, timeMin, nominalMin, replicate };

/// All that a row of the table says.
struct DrawFacts {
    Draw draw;
    std::optional<double> nominal;
    std::int32_t replicate = 1;
    std::vector<Concentration> concentrations;
    std::string remark;
};

Result<Concentration> concentrationFrom(const Study& study, std::size_t analyte, std::string_view text) {
    const std::string& id = study.analytes[analyte].id;
    if (std::string fault = faultOfText(text, longestText); !fault.empty()) {
        return cellProblem(id, id + ": " + fault, "enter a number, or NA where there is none");
    }
    const std::string_view cell = trimmed(text);
    const NumberCell number = readNumber(cell);
    Concentration read;
    if (number.kind == NumberKind::belowLimit) {
        read.limit = number.value;
    } else if (number.kind == NumberKind::value && number.value >= 0.0) {
        read.value = number.value;
    } else if (number.kind != NumberKind::missing) {
        read.flaw = CellFlaw{0, 0, faultOfConcentration(number, cell), flawTextOf(cell)};
    }
    return read;
}

Result<double> minutesFrom(std::string_view text, std::string_view column) {
    const std::string_view cell = trimmed(text);
    if (const auto minutes = minutesIn(cell)) {
        return *minutes;
    }
    return cellProblem(column, std::string{column} + ": " + faultOfMinutes(cell),
                       "give the minutes from the first bite, fasting draws at or below 0");
}

Result<std::optional<double>> nominalFrom(std::string_view text) {
    if (readNumber(text).kind == NumberKind::missing) {
        return std::optional<double>{};
    }
    const Result<double> minutes = minutesFrom(text, "nominal_min");
    return minutes ? Result<std::optional<double>>{std::optional{minutes.value()}} : minutes.problem();
}

/// The time of a row; its nominal one where none is given.
Result<double> timeFrom(std::string_view text, const std::optional<double>& nominal) {
    if (nominal && readNumber(text).kind == NumberKind::missing) {
        return *nominal;
    }
    return minutesFrom(text, "time_min");
}

Result<std::string> remarkFrom(std::string_view text) {
    if (std::string fault = faultOfText(text, longestText); !fault.empty()) {
        return cellProblem("remark", "remark: " + fault, "write it in one line of at most 2000 bytes");
    }
    return std::string{trimmed(text)};
}

std::vector<TableColumn> columns(const Study& study) {
    std::vector<TableColumn> list{{"subject", "Subject", false, true},
                                  {"food", "Food", false, true},
                                  {"visit", "Visit", true, false},
                                  {"period", "Period", true, false},
                                  {"time_min", "Time (min)", true, true},
                                  {"nominal_min", "Nominal time (min)", true, false},
                                  {"replicate", "Determination", true, false}};
    for (const Analyte& analyte : study.analytes) {
        list.push_back({analyte.id,
                        analyte.unit.empty() ? analyte.id : analyte.id + " (" + analyte.unit + ")", true,
                        false});
    }
    list.push_back({"remark", "Remark", false, false});
    return list;
}

std::size_t rows(const Study& study) {
    return study.draws.size();
}

std::string text(const Study& study, std::size_t row, std::size_t column) {
    const Draw& draw = study.draws[row];
    switch (column) {
        case subject:
            return study.subjects[draw.subject].id;
        case food:
            return study.foods[draw.food].id;
        case visit:
            return std::to_string(draw.visit);
        case period:
            return countText(draw.period, 0);
        case timeMin:
            return plainNumber(draw.timeMin);
        case nominalMin:
            return numberText(nominalMinOf(study, row));
        case replicate:
            return std::to_string(replicateOf(study, row));
        default:
            break;
    }
    const std::size_t analyte = column - columnsBeforeAnalytes;
    return analyte < study.analytes.size() ? concentrationText(study, row, analyte)
                                           : std::string{remarkOn(study, static_cast<std::uint32_t>(row))};
}

/// Puts what was read, or passes the problem on.
template <class Value, class Put>
Result<Done> putIfRead(Result<Value> read, Put put) {
    if (!read) {
        return read.problem();
    }
    put(std::move(read).value());
    return Done{};
}

Result<Done> set(Study& study, const SetCell& cell) {
    const std::size_t row = cell.row;
    const std::size_t column = cell.column;
    const std::string& newText = cell.text;
    Draw& draw = study.draws[row];
    switch (column) {
        case subject:
            return putIfRead(subjectFrom(study, newText), [&](auto index) { draw.subject = index; });
        case food:
            return putIfRead(foodFrom(study, newText), [&](auto index) { draw.food = index; });
        case visit:
            return putIfRead(countFrom(newText, "visit", 1), [&](auto count) { draw.visit = count; });
        case period:
            return putIfRead(countFrom(newText, "period", 0), [&](auto count) { draw.period = count; });
        case timeMin:
            return putIfRead(timeFrom(newText, nominalMinOf(study, row)),
                             [&](double minutes) { draw.timeMin = minutes; });
        case nominalMin:
            return putIfRead(nominalFrom(newText), [&](const auto& minutes) {
                putNominal(study, row, minutes);
                dropEmptyLists(study);
            });
        case replicate:
            return putIfRead(countFrom(newText, "replicate", 1), [&](auto count) {
                putReplicate(study, row, count);
                dropEmptyLists(study);
            });
        default:
            break;
    }
    const std::size_t analyte = column - columnsBeforeAnalytes;
    if (analyte == study.analytes.size()) {
        return putIfRead(remarkFrom(newText),
                         [&](std::string words) { putRemark(study, row, std::move(words)); });
    }
    Result<Concentration> read = concentrationFrom(study, analyte, newText);
    if (read && read.value().flaw && study.flaws.size() >= ReadLimits{}.flaws) {
        return cellProblem(study.analytes[analyte].id,
                           quote(newText) + " is no number, and the study has as many such cells as are read",
                           "enter a number, or NA where there is none");
    }
    return putIfRead(std::move(read),
                     [&](Concentration value) { putConcentration(study, row, analyte, std::move(value)); });
}

Result<DrawFacts> factsFrom(const Study& study, const std::vector<std::string>& cells) {
    DrawFacts facts;
    const auto subjectIndex = subjectFrom(study, cells[subject]);
    const auto foodIndex = foodFrom(study, cells[food]);
    const auto visitNumber = countFrom(cells[visit], "visit", 1);
    const auto periodNumber = countFrom(cells[period], "period", 0);
    const auto nominal = nominalFrom(cells[nominalMin]);
    const auto time = timeFrom(cells[timeMin], nominal ? nominal.value() : std::nullopt);
    const auto number = countFrom(cells[replicate], "replicate", 1);
    auto remark = remarkFrom(cells.back());
    const Problem* failed = !subjectIndex   ? &subjectIndex.problem()
                            : !foodIndex    ? &foodIndex.problem()
                            : !visitNumber  ? &visitNumber.problem()
                            : !periodNumber ? &periodNumber.problem()
                            : !nominal      ? &nominal.problem()
                            : !time         ? &time.problem()
                            : !number       ? &number.problem()
                            : !remark       ? &remark.problem()
                                            : nullptr;
    if (failed != nullptr) {
        return *failed;
    }
    facts.draw = {subjectIndex.value(),
                  foodIndex.value(),
                  visitNumber.value(),
                  periodNumber.value(),
                  time.value(),
                  0,
                  0};
    facts.nominal = nominal.value();
    facts.replicate = number.value();
    facts.remark = std::move(remark).value();
    for (std::size_t i = 0; i < study.analytes.size(); ++i) {
        Result<Concentration> read = concentrationFrom(study, i, cells[columnsBeforeAnalytes + i]);
        if (!read) {
            return read.problem();
        }
        facts.concentrations.push_back(std::move(read).value());
    }
    return facts;
}

/// The file that a row belongs to: the one it was in, where the order of the files allows it, else that of
/// its neighbours.
std::uint32_t fileFor(const Study& study, const InsertRow& change) {
    const std::uint32_t before = change.row > 0 ? study.draws[change.row - 1].file : 0;
    const std::uint32_t after = change.row < study.draws.size() ? study.draws[change.row].file
                                : study.sampleFiles.empty()
                                    ? 0
                                    : static_cast<std::uint32_t>(study.sampleFiles.size() - 1);
    if (change.file && *change.file >= before && *change.file <= after) {
        return *change.file;
    }
    return change.row > 0 || change.row == study.draws.size() ? before : after;
}

Result<std::size_t> insert(Study& study, const InsertRow& change) {
    const ReadLimits limits;
    if (study.draws.size() >= limits.rows) {
        return cellProblem({}, "the study has as many samples as are read", "split the study");
    }
    Result<DrawFacts> read = factsFrom(study, change.cells);
    if (!read) {
        return read.problem();
    }
    DrawFacts facts = std::move(read).value();
    facts.draw.file = fileFor(study, change);
    const bool sameFile = change.file == facts.draw.file;
    facts.draw.row = fittingLine(sameFile ? change.line : 0, change.row, study.draws.size(), [&](auto i) {
        return study.draws[i].file == facts.draw.file ? study.draws[i].row : 0;
    });
    insertDraw(study, change.row, facts.draw);
    putNominal(study, change.row, facts.nominal);
    putReplicate(study, change.row, facts.replicate);
    for (std::size_t i = 0; i < facts.concentrations.size(); ++i) {
        putConcentration(study, change.row, i, std::move(facts.concentrations[i]));
    }
    putRemark(study, change.row, std::move(facts.remark));
    return change.row;
}

Result<Done> remove(Study& study, const RemoveRow& change) {
    const std::size_t row = change.row;
    removeDraw(study, row);
    return Done{};
}

std::string nameOfRow(const Study& study, std::size_t row) {
    const Draw& draw = study.draws[row];
    return nameOfVisit(study, draw.subject, draw.food, draw.visit) + ", " + plainNumber(draw.timeMin) +
           " min";
}

std::size_t lineOf(const Study& study, std::size_t row) {
    return study.draws[row].row;
}

}  // namespace

const TableEdits samplesEdits{columns, rows, text, set, insert, remove, nameOfRow, lineOf};

}  // namespace aftercurve
