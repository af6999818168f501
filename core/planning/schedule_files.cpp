#include "core/planning/schedule_files.h"

#include <nlohmann/json.hpp>
#include <system_error>

#include "core/base/caution.h"
#include "core/base/html_text.h"
#include "core/base/version.h"
#include "core/files/atomic_write.h"
#include "core/files/sha256.h"

namespace aftercurve {

namespace {

constexpr std::string_view style = R"(
body { font: 14px/1.4 "DejaVu Sans", "Liberation Sans", sans-serif; color: #1d2a2e; max-width: 62em; margin: 2em auto; padding: 0 1.2em; }
h1 { font-size: 1.4em; } table { border-collapse: collapse; } th, td { padding: .2em .8em; text-align: left; border-bottom: 1px solid #c9d2d0; }
thead { display: table-header-group; } thead th { border-top: 1.5px solid #1d2a2e; border-bottom: 1.5px solid #1d2a2e; } tr { break-inside: avoid; }
.note, footer { font-size: .85em; color: #44555a; }
@media print { body { max-width: none; margin: 0; } }
)";

bool hasStrata(const Schedule& schedule) {
    return schedule.options.strata.size() > 1 || !schedule.options.strata.front().name.empty();
}

Column textColumn(std::string key, std::string title) {
    Column column;
    column.key = std::move(key);
    column.title = std::move(title);
    return column;
}

/// Subject, stratum; then what `rest` adds; then a food a period, by `names`.
template <class Heads, class Cells>
Table tableOf(const Schedule& schedule, const std::vector<std::string>& names, Heads heads, Cells cells) {
    Table table;
    table.columns.push_back(textColumn("subject", "Subject"));
    if (hasStrata(schedule)) {
        table.columns.push_back(textColumn("stratum", "Stratum"));
    }
    heads(table);
    for (std::size_t period = 1; period <= schedule.options.foods.size(); ++period) {
        table.columns.push_back(
            textColumn("period_" + std::to_string(period), "Period " + std::to_string(period)));
    }
    for (const ScheduledSubject& subject : schedule.subjects) {
        Row row;
        row.key = subject.subject;
        row.cells.emplace_back(subject.subject);
        if (hasStrata(schedule)) {
            row.cells.emplace_back(schedule.options.strata[subject.stratum].name);
        }
        cells(row, subject);
        for (const std::size_t food : schedule.sequences[subject.sequence]) {
            row.cells.emplace_back(names[food]);
        }
        table.rows.push_back(std::move(row));
    }
    return table;
}

std::string designWords(const Schedule& schedule) {
    const ScheduleOptions& options = schedule.options;
    return "Design " + std::string{wordFor(options.design)} + ", " +
           std::to_string(schedule.sequences.size()) + " sequences, blocks of " +
           std::to_string(options.block) + ", seed " + std::to_string(options.seed) + ".";
}

}  // namespace

Table scheduleTable(const Schedule& schedule) {
    Table table = tableOf(
        schedule, schedule.options.foods,
        [](Table& heads) {
            Column block = textColumn("block", "Block");
            block.kind = ColumnKind::integer;
            heads.columns.push_back(std::move(block));
            heads.columns.push_back(textColumn("sequence", "Sequence"));
        },
        [&](Row& row, const ScheduledSubject& subject) {
            row.cells.emplace_back(static_cast<std::int64_t>(subject.block));
            row.cells.emplace_back(sequenceLetters(schedule.sequences[subject.sequence]));
        });
    table.key = "schedule";
    table.title = "Randomisation schedule";
    return table;
}

Table sealedTable(const Schedule& schedule) {
    Table table = tableOf(
        schedule, sealedCodes(schedule.options), [](Table&) {}, [](Row&, const ScheduledSubject&) {});
    table.key = "sealed_list";
    table.title = "Sealed randomisation list";
    return table;
}

Table keyTable(const Schedule& schedule) {
    Table table;
    table.key = "key";
    table.title = "Key to the sealed list";
    table.columns = {textColumn("code", "Code"), textColumn("food", "Food")};
    const std::vector<std::string> codes = sealedCodes(schedule.options);
    for (std::size_t food = 0; food < codes.size(); ++food) {
        Row row;
        row.key = codes[food];
        row.cells = {codes[food], schedule.options.foods[food]};
        table.rows.push_back(std::move(row));
    }
    return table;
}

std::string schedulePage(const Schedule& schedule, const Table& table, bool sealed) {
    const std::string title = htmlEscaped(table.title);
    std::string html =
        "<!DOCTYPE html>\n<html lang=\"en\">\n<head>\n<meta charset=\"utf-8\">\n<title>" + title +
        "</title>\n<style>" + std::string{style} + "</style>\n</head>\n<body>\n<h1>" + title + "</h1>\n<p>" +
        std::to_string(schedule.subjects.size()) + " subjects, " +
        std::to_string(schedule.options.foods.size()) + " foods, one a period. " +
        (sealed ? "Foods stand by code; the key is kept elsewhere." : htmlEscaped(designWords(schedule))) +
        "</p>\n";
    if (!sealed) {
        html += "<p>";
        for (std::size_t food = 0; food < schedule.options.foods.size(); ++food) {
            html += (food == 0 ? "" : ", ") + sequenceLetters({food}) + " = " +
                    htmlEscaped(schedule.options.foods[food]);
        }
        html += ".</p>\n";
        for (const Problem& problem : schedule.notes) {
            html += "<p class=\"note\">Note: " + htmlEscaped(problem.what) + ".</p>\n";
        }
    }
    html += "<table>\n<thead><tr>";
    for (const Column& column : table.columns) {
        html += "<th scope=\"col\">" + htmlEscaped(column.title) + "</th>";
    }
    html += "</tr></thead>\n<tbody>\n";
    for (const Row& row : table.rows) {
        html += "<tr>";
        for (std::size_t i = 0; i < row.cells.size(); ++i) {
            html += "<td>" + htmlEscaped(shownText(row.cells[i], table.columns[i])) + "</td>";
        }
        html += "</tr>\n";
    }
    return html + "</tbody>\n</table>\n<footer><p>" + htmlEscaped(cautionText()) + "</p><p>Aftercurve " +
           htmlEscaped(versionText()) + "</p></footer>\n</body>\n</html>\n";
}

std::string scheduleRecord(const Schedule& schedule) {
    const ScheduleOptions& options = schedule.options;
    nlohmann::ordered_json json;
    json["format"] = "aftercurve-schedule";
    json["version"] = 1;
    json["software"] = {{"version", versionText()}, {"revision", revisionText()}};
    json["foods"] = options.foods;
    json["design"] = wordFor(options.design);
    json["block"] = options.block;
    json["seed"] = options.seed;
    json["prefix"] = options.prefix;
    json["strata"] = nlohmann::ordered_json::array();
    for (const Stratum& stratum : options.strata) {
        json["strata"].push_back({{"name", stratum.name}, {"subjects", stratum.subjects}});
    }
    json["notes"] = nlohmann::ordered_json::array();
    for (const Problem& problem : schedule.notes) {
        json["notes"].push_back(problem.what);
    }
    json["files"] = {{{"file", "schedule.csv"}, {"sha256", sha256Hex(asCsv(scheduleTable(schedule)))}}};
    return json.dump(2, ' ', false, nlohmann::ordered_json::error_handler_t::replace) + "\n";
}

std::vector<ScheduleFile> scheduleFiles(const Schedule& schedule, bool sealed) {
    const std::string folder = sealed ? "key/" : "";
    const Table open = scheduleTable(schedule);
    std::vector<ScheduleFile> files;
    if (sealed) {
        const Table list = sealedTable(schedule);
        files.push_back({"sealed_list.csv", asCsv(list)});
        files.push_back({"sealed_list.html", schedulePage(schedule, list, true)});
        files.push_back({"key/key.csv", asCsv(keyTable(schedule))});
    }
    files.push_back({folder + "schedule.csv", asCsv(open)});
    files.push_back({folder + "schedule.html", schedulePage(schedule, open, false)});
    files.push_back({folder + "schedule.json", scheduleRecord(schedule)});
    return files;
}

Result<std::vector<std::string>> writeSchedule(const Schedule& schedule, const std::filesystem::path& folder,
                                               bool sealed) {
    std::error_code error;
    std::filesystem::create_directories(sealed ? folder / "key" : folder, error);
    if (error) {
        Problem problem;
        problem.what = "the folder " + folder.string() + " cannot be made: " + error.message();
        problem.remedy = "name a folder that can be written to";
        return problem;
    }
    std::vector<std::string> written;
    for (const ScheduleFile& file : scheduleFiles(schedule, sealed)) {
        if (const auto done = writeAtomically(folder / file.name, file.bytes); !done) {
            return done.problem();
        }
        written.push_back(file.name);
    }
    return written;
}

}  // namespace aftercurve
