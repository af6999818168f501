#include "core/files/samples_csv.h"

#include <algorithm>
#include <cassert>
#include <limits>
#include <string>
#include <tuple>

#include "core/files/cell_rules.h"
#include "core/files/csv_cell.h"
#include "core/files/excerpt.h"
#include "core/files/large_pages.h"
#include "core/files/number_cell.h"
#include "core/files/subjects_csv.h"
#include "core/files/text_check.h"

namespace aftercurve {

namespace {

constexpr std::size_t progressBytes = std::size_t{4} << 20;

bool allEmpty(std::span<const std::string_view> cells) {
    return std::all_of(cells.begin(), cells.end(),
                       [](std::string_view cell) { return trimmed(cell).empty(); });
}

}  // namespace

/// One row and where it stands.
struct SamplesReader::Row {
    std::span<const std::string_view> cells;
    const SamplesColumns& columns;
    std::uint32_t file;
    std::size_t line;
    std::string_view fileName;

    std::string_view at(std::size_t column) const { return trimmed(cells[column]); }

    /// A problem about a cell of this row, with the subject and food as they are written.
    Problem problem(std::string_view column, std::string what, std::string remedy) const {
        Problem found = problemAt(fileName, line, column, std::move(what), std::move(remedy));
        found.subject = shortened(textIn(at(columns.subject)));
        found.food = shortened(textIn(at(columns.food)));
        return found;
    }
};

/// The times of a row.
struct SamplesReader::Times {
    double timeMin = 0.0;
    std::optional<double> nominalMin;
};

SamplesReader::SamplesReader(Study& study, std::vector<ConversionOptions> conversions,
                             const ReadLimits& limits, ProblemList& problems)
    : study_(study),
      conversions_(std::move(conversions)),
      limits_(limits),
      problems_(problems),
      states_(study.analytes.size()),
      subjectSeen_(study.subjects.size(), false),
      declaredSubjects_(study.subjects.size()) {
    assert(!study.foods.empty() && !study.analytes.empty());
    conversions_.resize(study.analytes.size());
    study_.concentrations.resize(study.analytes.size());
    for (std::size_t i = 0; i < study.subjects.size(); ++i) {
        subjects_.add(study.subjects[i].id, static_cast<std::uint32_t>(i));
    }
    for (std::size_t i = 0; i < study.foods.size(); ++i) {
        foods_.add(study.foods[i].id, static_cast<std::uint32_t>(i));
    }
}

bool SamplesReader::read(std::string_view bytes, std::uint32_t file,
                         const std::function<bool(std::size_t)>& progress) {
    const std::string& name = study_.sampleFiles[file];
    const Result<std::string_view> text = checkedText(bytes, name);
    if (!text) {
        problems_.add(Weight::fatal, text.problem());
        return true;
    }
    DelimitedScanner scanner{text.value(), limits_.lineBytes, limits_.columns};
    const auto header = readCsvHeader(scanner, name, limits_.columns, problems_);
    const auto columns =
        header ? findSamplesColumns(*header, name, study_, conversions_, states_, problems_) : std::nullopt;
    if (!columns) {
        return true;
    }
    reserve(text.value().substr(scanner.offset()));
    std::size_t nextReport = progressBytes;
    std::size_t emptyRows = 0;
    std::size_t rows = 0;
    DelimitedScanner::Step step = scanner.next();
    for (; step == DelimitedScanner::Step::row; step = scanner.next()) {
        if (scanner.offset() >= nextReport) {
            nextReport += progressBytes;
            if (progress && !progress(scanner.offset())) {
                return false;
            }
        }
        const Row row{scanner.cells(), *columns, file, scanner.row(), name};
        if (trimmed(row.cells.front()).empty() && scanner.cellCount() <= limits_.columns &&
            allEmpty(row.cells)) {
            ++emptyRows;
            continue;
        }
        ++rows;
        if (scanner.cellCount() != header->names.size()) {
            reportCellCount(scanner, *header, name, problems_);
            continue;
        }
        if (!hasRoom(row) || !readRow(row)) {
            return true;
        }
    }
    reportScan(step, scanner, name, problems_);
    if (rows == 0 && step == DelimitedScanner::Step::end) {
        problems_.add(Weight::fatal,
                      problemAt(name, 0, {}, "the file has a header but no row of data",
                                "add the samples, one row a draw, or take it out of study.json"));
    }
    if (emptyRows > 0) {
        problems_.add(Weight::note,
                      problemAt(name, 0, {},
                                std::to_string(emptyRows) +
                                    (emptyRows == 1 ? " row holds only empty cells and is skipped"
                                                    : " rows hold only empty cells and are skipped")));
    }
    return true;
}

/// One allocation for the rows to come, by the length of the first ones; too small a guess costs a second
/// one.
void SamplesReader::reserve(std::string_view text) {
    const std::string_view begin = text.substr(0, std::size_t{64} << 10);
    const auto lines = static_cast<std::size_t>(std::count(begin.begin(), begin.end(), '\n')) + 1;
    const std::size_t guess = text.size() / (begin.size() / lines + 1) * 17 / 16 + lines;
    const std::size_t rows =
        std::min({guess, text.size() / 6 + 1, limits_.rows, limits_.cells / study_.analytes.size() + 1});
    const std::size_t wanted = study_.draws.size() + rows;
    study_.draws.reserve(wanted);
    preferLargePages(study_.draws.data(), study_.draws.capacity() * sizeof(Draw));
    for (auto& values : study_.concentrations) {
        values.reserve(wanted);
        preferLargePages(values.data(), values.capacity() * sizeof values[0]);
    }
}

bool SamplesReader::hasRoom(const Row& row) {
    const std::size_t draws = study_.draws.size();
    if (draws < limits_.rows && (draws + 1) * study_.analytes.size() <= limits_.cells &&
        row.line <= std::numeric_limits<std::uint32_t>::max()) {
        return true;
    }
    problems_.add(Weight::fatal, problemAt(row.fileName, row.line, {},
                                           "the study has more than the " + std::to_string(draws) +
                                               " rows that are read (analytes: " +
                                               std::to_string(study_.analytes.size()) + ")",
                                           "split the study"));
    return false;
}

/// False where the reading is to be given up.
bool SamplesReader::readRow(const Row& row) {
    const auto subject = subjectOf(row);
    const auto food = foodOf(row);
    const auto visit = countOf(row, row.columns.visit, "visit", 1);
    const auto period = countOf(row, row.columns.period, "period", 0);
    const auto replicate = countOf(row, row.columns.replicate, "replicate", 1);
    const auto times = timesOf(row);
    if (!subject || !food || !visit || !period || !replicate || !times) {
        return true;
    }
    const Draw draw{
        *subject, *food, *visit, *period, times->timeMin, row.file, static_cast<std::uint32_t>(row.line)};
    study_.draws.push_back(draw);
    readExtras(row, *times, *replicate);
    readConcentrations(row, draw);
    if (study_.flaws.size() <= limits_.flaws) {
        return true;
    }
    problems_.add(Weight::fatal,
                  problemAt(row.fileName, row.line, {},
                            "more than " + std::to_string(limits_.flaws) +
                                " concentrations cannot be used; the reading was given up here",
                            "check that the columns hold what their names say"));
    return false;
}

std::optional<std::uint32_t> SamplesReader::subjectOf(const Row& row) {
    const std::string_view id = textIn(row.at(row.columns.subject));
    if (lastSubject_ < study_.subjects.size() && study_.subjects[lastSubject_].id == id &&
        subjectSeen_[lastSubject_]) {
        return lastSubject_;
    }
    auto position = subjects_.find(id);
    if (!position) {
        if (const std::string fault = faultOfSubjectCode(id); !fault.empty()) {
            problems_.add(Weight::fatal,
                          [&] { return row.problem("subject", fault, "give the subject's code"); });
            return std::nullopt;
        }
        position = static_cast<std::uint32_t>(study_.subjects.size());
        Subject subject;
        subject.id = std::string{id};
        if (!study_.subjectsFile.empty()) {
            warnUndeclaredSubject(row, subject.id);
        }
        subjects_.add(subject.id, *position);
        study_.subjects.push_back(std::move(subject));
        subjectSeen_.push_back(false);
    }
    subjectSeen_[*position] = true;
    lastSubject_ = *position;
    return position;
}

void SamplesReader::warnUndeclaredSubject(const Row& row, const std::string& id) {
    problems_.add(Weight::warning, [&] {
        return row.problem("subject", "the subject " + quote(id) + " is not in " + quote(study_.subjectsFile),
                           "check the code, or add the subject there");
    });
}

std::optional<std::uint32_t> SamplesReader::foodOf(const Row& row) {
    const std::string_view id = textIn(row.at(row.columns.food));
    if (study_.foods[lastFood_].id == id) {
        return lastFood_;
    }
    const auto position = foods_.find(id);
    if (!position) {
        problems_.add(Weight::fatal, [&] {
            return row.problem(
                "food", id.empty() ? "the food is empty" : "the food " + quote(id) + " is not declared",
                "add it to the foods in study.json, or mend its spelling");
        });
        return std::nullopt;
    }
    lastFood_ = *position;
    return position;
}

/// A visit or period: a whole number from 1; `absent` where there is no such column. A period may be left
/// empty.
std::optional<std::int32_t> SamplesReader::countOf(const Row& row, std::optional<std::size_t> column,
                                                   const char* name, std::int32_t absent) {
    if (!column) {
        return absent;
    }
    const std::string_view cell = row.at(*column);
    if (const auto count = countIn(cell)) {
        return count;
    }
    if (absent == 0 && readNumber(cell).kind == NumberKind::missing) {
        return absent;
    }
    problems_.add(Weight::fatal, [&] {
        return row.problem(
            name, "the " + std::string{name} + " " + quote(cell) + " is not a whole number from 1 to 1000000",
            "number them 1, 2, 3, ...");
    });
    return std::nullopt;
}

std::optional<double> SamplesReader::timeIn(const Row& row, std::size_t column, std::string_view name) {
    const std::string_view cell = row.at(column);
    if (const auto minutes = minutesIn(cell)) {
        return minutes;
    }
    problems_.add(Weight::fatal, [&] {
        return row.problem(name, std::string{name} + ": " + faultOfMinutes(cell),
                           "give the minutes from the first bite, fasting draws at or below 0");
    });
    return std::nullopt;
}

/// A row may leave out time_min where it gives nominal_min, and the other way round.
std::optional<SamplesReader::Times> SamplesReader::timesOf(const Row& row) {
    Times times;
    const auto& nominal = row.columns.nominalMin;
    if (nominal && readNumber(row.at(*nominal)).kind != NumberKind::missing) {
        times.nominalMin = timeIn(row, *nominal, "nominal_min");
        if (!times.nominalMin) {
            return std::nullopt;
        }
        if (readNumber(row.at(row.columns.timeMin)).kind == NumberKind::missing) {
            times.timeMin = *times.nominalMin;
            ++nominalUsed_;
            return times;
        }
    }
    const auto actual = timeIn(row, row.columns.timeMin, "time_min");
    if (!actual) {
        return std::nullopt;
    }
    times.timeMin = *actual;
    return times;
}

/// Fills what only some studies have: planned times, determinations, remarks. Earlier rows without them get
/// the value for "not given".
void SamplesReader::readExtras(const Row& row, const Times& times, std::int32_t replicate) {
    const std::size_t draws = study_.draws.size();
    if (row.columns.nominalMin || !study_.nominalMin.empty()) {
        study_.nominalMin.resize(draws - 1);
        study_.nominalMin.push_back(times.nominalMin);
    }
    if (row.columns.replicate || !study_.replicate.empty()) {
        study_.replicate.resize(draws - 1, 1);
        study_.replicate.push_back(replicate);
    }
    if (row.columns.remark) {
        FreeText remark = freeTextIn(row.at(*row.columns.remark));
        if (remark.shortened) {
            problems_.add(Weight::warning, [&] {
                return row.problem("remark",
                                   "the remark is longer than " + std::to_string(longestText) +
                                       " bytes; the rest is not shown",
                                   "shorten it");
            });
        }
        if (!remark.text.empty()) {
            study_.remarks.push_back({static_cast<std::uint32_t>(draws - 1), std::move(remark.text)});
        }
    }
}

void SamplesReader::readConcentrations(const Row& row, const Draw& draw) {
    for (auto& values : study_.concentrations) {
        values.emplace_back();
    }
    for (const AnalyteColumn& column : row.columns.analytes) {
        const std::string_view cell = row.at(column.column);
        const NumberCell number = readNumber(cell);
        if (number.kind == NumberKind::missing) {
            continue;
        }
        if (number.kind == NumberKind::belowLimit) {
            study_.belowLimit.push_back({static_cast<std::uint32_t>(study_.draws.size() - 1),
                                         static_cast<std::uint32_t>(column.analyte),
                                         number.value * column.factor});
        } else if (number.kind != NumberKind::value || number.value < 0.0) {
            addFlaw(row, draw, column, number);
        } else {
            study_.concentrations[column.analyte].back() = number.value * column.factor;
        }
    }
}

void SamplesReader::addFlaw(const Row& row, const Draw& draw, const AnalyteColumn& column,
                            const NumberCell& number) {
    const Analyte& analyte = study_.analytes[column.analyte];
    const std::string_view cell = row.at(column.column);
    std::string reason = faultOfConcentration(number, cell);
    problems_.add(Weight::error, [&] {
        Problem problem = row.problem(analyte.id, analyte.id + ": " + reason, remedyForConcentration(number));
        problem.visit = draw.visit;
        problem.analyte = analyte.id;
        problem.timeMin = draw.timeMin;
        return problem;
    });
    study_.flaws.push_back({static_cast<std::uint32_t>(study_.draws.size() - 1),
                            static_cast<std::uint32_t>(column.analyte), std::move(reason), flawTextOf(cell)});
}

void SamplesReader::noteNominalTimes() {
    if (nominalUsed_ > 0) {
        problems_.add(Weight::note, problemAt({}, 0, "time_min",
                                              std::to_string(nominalUsed_) +
                                                  (nominalUsed_ == 1 ? " row gives no time_min and stands"
                                                                     : " rows give no time_min and stand") +
                                                  " at the nominal time"));
    }
}

/// A file without the column comes after one that has it; a column that says nothing counts as none.
void SamplesReader::settleExtras() {
    if (std::any_of(study_.nominalMin.begin(), study_.nominalMin.end(), [](auto time) { return time; })) {
        study_.nominalMin.resize(study_.draws.size());
    } else {
        study_.nominalMin.clear();
    }
    if (std::any_of(study_.replicate.begin(), study_.replicate.end(), [](auto n) { return n != 1; })) {
        study_.replicate.resize(study_.draws.size(), 1);
    } else {
        study_.replicate.clear();
    }
}

void SamplesReader::finish() {
    const auto byPlace = [](const auto& a, const auto& b) {
        return std::tuple{a.draw, a.analyte} < std::tuple{b.draw, b.analyte};
    };
    std::sort(study_.belowLimit.begin(), study_.belowLimit.end(), byPlace);
    std::sort(study_.flaws.begin(), study_.flaws.end(), byPlace);
    settleExtras();
    noteNominalTimes();
    for (std::size_t i = 0; i < states_.size(); ++i) {
        const Analyte& analyte = study_.analytes[i];
        const std::string path = "analytes[" + std::to_string(i) + "]";
        if (!states_[i].found) {
            Problem problem = problemAt(
                "study.json", 0, path + ".id",
                "the analyte " + quote(analyte.id) + " has no column in any samples file",
                "name a column '" + shortened(analyte.id) + "', or take the analyte out of study.json");
            problem.analyte = analyte.id;
            problems_.add(Weight::fatal, std::move(problem));
        } else if (analyte.unit.empty()) {
            Problem problem = problemAt("study.json", 0, path + ".unit",
                                        path + ".unit is missing, so results carry no unit",
                                        "give the unit of " + shortened(analyte.id));
            problem.analyte = analyte.id;
            problems_.add(Weight::warning, std::move(problem));
        }
    }
    for (std::size_t i = 0; i < declaredSubjects_; ++i) {
        if (!subjectSeen_[i]) {
            problems_.add(Weight::note, [&] {
                Problem problem = problemAt(
                    study_.subjectsFile, 0, "subject",
                    "the subject " + quote(study_.subjects[i].id) + " has no row in any samples file");
                problem.subject = study_.subjects[i].id;
                return problem;
            });
        }
    }
}

}  // namespace aftercurve
