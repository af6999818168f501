#include "core/intake/take_in.h"

#include <algorithm>
#include <memory>
#include <set>

#include "core/base/number_text.h"
#include "core/files/excerpt.h"
#include "core/files/large_pages.h"
#include "core/intake/check_mapping.h"
#include "core/intake/merge_draws.h"
#include "core/intake/read_ahead.h"
#include "core/intake/take_notes.h"
#include "core/intake/take_rows.h"
#include "core/intake/time_text.h"
#include "core/study/units.h"

namespace aftercurve {

namespace {

/// A table that is used, with its columns found.
struct UsedTable {
    const InputTable& table;
    const TableMapping& how;
    Binding binding;
};

bool hasRole(const UsedTable& used, ColumnRole role) {
    return std::any_of(used.binding.columns.begin(), used.binding.columns.end(),
                       [role](const BoundColumn& column) { return column.how.role == role; });
}

class Intake {
  public:
    Intake(std::span<const InputTable> tables, const Mapping& mapping, const TakeInOptions& options,
           const std::function<bool(double)>& progress)
        : tables_(tables),
          mapping_(mapping),
          options_(options),
          progress_(progress),
          problems_(options.problemsListed) {}

    TakenIn run() {
        TakenIn taken;
        bindTables();
        prepare();
        if (!problems_.failed()) {
            readTables();
        }
        if (!stopped_) {
            reportUnknownFoods();
            if (!problems_.failed()) {
                finish(taken);
            }
        }
        taken.stopped = stopped_;
        taken.problems = problems_.take();
        return taken;
    }

  private:
    void bindTables() {
        const auto entries = entriesFor(mapping_, tables_);
        for (std::size_t t = 0; t < tables_.size(); ++t) {
            if (!entries[t] || !mapping_.tables[*entries[t]].use) {
                continue;
            }
            const TableMapping& how = mapping_.tables[*entries[t]];
            const auto head = readHead(tables_[t], how);
            if (!head) {
                problems_.add(Weight::fatal, head.problem());
                continue;
            }
            used_.push_back({tables_[t], how, bind(head.value(), how)});
            names_.push_back(nameOf(tables_[t]));
        }
    }

    /// The unit of each analyte in the study: as declared, else that of the file, else of its first column.
    std::vector<std::string> units() const {
        std::vector<std::string> units;
        for (const AnalyteMapping& analyte : mapping_.analytes) {
            std::string unit = analyte.unit.empty() ? analyte.fileUnit : analyte.unit;
            for (const UsedTable& used : used_) {
                for (const BoundColumn& column : used.binding.columns) {
                    if (unit.empty() && column.how.role == ColumnRole::analyte &&
                        analyteOf(used.how, column.how) == analyte.id) {
                        unit = unitOf(mapping_, used.how, column.how);
                    }
                }
            }
            units.push_back(canonicalUnit(unit));
        }
        return units;
    }

    void prepare() {
        context_ = std::make_unique<RowContext>(RowContext{mapping_, units(), {}});
        for (std::size_t f = 0; f < mapping_.foods.size(); ++f) {
            context_->foods.emplace(mapping_.foods[f].id, static_cast<std::uint32_t>(f));
            for (const std::string& text : mapping_.foods[f].texts) {
                context_->foods.emplace(text, static_cast<std::uint32_t>(f));
            }
        }
        gathered_.limit = options_.draws;
        gathered_.concentrations.resize(mapping_.analytes.size());
        gathered_.deeds.resize(used_.size());
        bool anyActual = false;
        bool anyNominal = false;
        for (const UsedTable& used : used_) {
            anyNominal = anyNominal || hasRole(used, ColumnRole::nominalTime);
            anyActual = anyActual || hasRole(used, ColumnRole::time) ||
                        hasRole(used, ColumnRole::clockTime) || used.how.layout == Layout::wideByTime;
            gathered_.withClock = gathered_.withClock || hasRole(used, ColumnRole::clockTime);
            gathered_.withReplicate =
                gathered_.withReplicate || hasRole(used, ColumnRole::replicate) ||
                std::any_of(used.binding.columns.begin(), used.binding.columns.end(),
                            [](const BoundColumn& column) { return column.how.replicate > 0; });
        }
        gathered_.withNominal = anyNominal && anyActual;
        if (anyNominal && !anyActual) {
            problems_.add(
                Weight::note,
                problemAt("", 0, "", "only nominal times are given; they stand for the actual ones"));
        }
        noteConversions();
    }

    void noteConversions() {
        for (std::size_t t = 0; t < used_.size(); ++t) {
            std::set<std::string> told;
            for (const BoundColumn& column : used_[t].binding.columns) {
                if (column.how.role != ColumnRole::analyte) {
                    continue;
                }
                const std::string id = analyteOf(used_[t].how, column.how);
                for (std::size_t a = 0; a < mapping_.analytes.size(); ++a) {
                    const std::string from = canonicalUnit(unitOf(mapping_, used_[t].how, column.how));
                    if (mapping_.analytes[a].id != id || from == context_->units[a] ||
                        !told.insert(id + from).second) {
                        continue;
                    }
                    const auto factor =
                        conversionFactor(id, from, context_->units[a], {mapping_.analytes[a].pmolPerUiu});
                    if (factor) {
                        problems_.add(Weight::note, problemAt(names_[t], 0, "",
                                                              id + " was converted from " + from + " to " +
                                                                  context_->units[a] + ": × " +
                                                                  plainNumber(factor.value())));
                    }
                }
            }
        }
    }

    void readTables() {
        for (std::size_t t = 0; t < used_.size() && !stopped_; ++t) {
            const UsedTable& used = used_[t];
            RowTaker taker{*context_, used.table, static_cast<std::uint32_t>(t), used.how, used.binding,
                           gathered_, problems_};
            const std::size_t before = gathered_.draws.size();
            const auto share = [&](double done) {
                reserveFor(before, done);
                stopped_ = progress_ &&
                           !progress_((static_cast<double>(t) + done) / static_cast<double>(used_.size()));
                return !stopped_;
            };
            const auto done = used.table.visit(
                used.how.dialect,
                [&](std::size_t row, std::span<const RawCell> cells) {
                    if (used.how.lastRow != 0 && row > used.how.lastRow) {
                        return Visit::stop;
                    }
                    if (row >= used.how.firstRow) {
                        taker.take(row, cells);
                    }
                    return Visit::goOn;
                },
                share);
            if (!done && !stopped_) {
                problems_.add(Weight::fatal, done.problem());
            }
            noteSource(used.table);
        }
    }

    /// Makes room by how far the reading has come, so that the vectors need not grow by doubling.
    void reserveFor(std::size_t before, double done) {
        const std::size_t read = gathered_.draws.size() - before;
        if (done <= 0.0 || done >= 1.0 || read < 100'000 ||
            gathered_.draws.capacity() > gathered_.draws.size() + read) {
            return;
        }
        const auto expected =
            before + static_cast<std::size_t>(static_cast<double>(read) / done * 1.02) + 1000;
        const auto reserve = [expected](auto& values) {
            values.reserve(expected);
            preferLargePages(values.data(), values.capacity() * sizeof values[0]);
        };
        reserve(gathered_.draws);
        for (auto& values : gathered_.concentrations) {
            reserve(values);
        }
    }

    void noteSource(const InputTable& table) {
        if (!table.sha256.empty() && sources_.insert(table.source).second) {
            problems_.add(Weight::note, problemAt(table.file, 0, "", "taken in; SHA-256 " + table.sha256));
        }
    }

    void reportUnknownFoods() {
        for (const auto& [names, tally] : gathered_.unknownFoods) {
            problems_.add(Weight::fatal,
                          problemAt(names.first, tally.rows[0], "",
                                    "the food " + quote(names.second) +
                                        " is not in the mapping: " + wordsFor(tally, "row"),
                                    "add the text to the texts of a food, or declare the food"));
        }
    }

    void finish(TakenIn& taken) {
        const GoOn goOn = [this] {
            stopped_ = stopped_ || (progress_ && !progress_(1.0));
            return !stopped_;
        };
        if (!resolveClocks(gathered_, names_, mapping_, problems_, goOn) || problems_.failed()) {
            return;
        }
        const MergeCounts counts = mergeDraws(gathered_, names_, mapping_, problems_, goOn);
        if (counts.stopped) {
            return;
        }
        if (gathered_.draws.empty() && !problems_.failed()) {
            problems_.add(Weight::fatal,
                          problemAt("", 0, "", "no draw was found in the tables",
                                    "check first_row, last_row and the columns of the mapping"));
        }
        if (problems_.failed()) {
            return;
        }
        noteDeeds(gathered_, names_, mapping_, problems_);
        noteMerging(counts, names_, analytesByTable(), problems_);
        warnOfLikeCodes();
        taken.study = makeStudy();
    }

    std::vector<std::vector<std::string>> analytesByTable() const {
        std::vector<std::vector<std::string>> analytes;
        for (const UsedTable& used : used_) {
            auto& ids = analytes.emplace_back();
            for (const BoundColumn& column : used.binding.columns) {
                if (column.how.role == ColumnRole::analyte) {
                    ids.push_back(analyteOf(used.how, column.how));
                }
            }
        }
        return analytes;
    }

    void warnOfLikeCodes() {
        std::map<std::string, std::string> seen;
        for (const Subject& subject : gathered_.subjects) {
            const std::size_t first = subject.id.find_first_not_of('0');
            if (subject.id.find_first_not_of("0123456789") != std::string::npos ||
                first == std::string::npos) {
                continue;
            }
            const auto [found, isNew] = seen.emplace(subject.id.substr(first), subject.id);
            if (!isNew) {
                problems_.add(Weight::warning,
                              problemAt("", 0, "subject_digits",
                                        quote(found->second) + " and " + quote(subject.id) +
                                            " are kept as two subjects; they differ in leading zeros only",
                                        "set subject_digits where they are one"));
            }
        }
    }

    /// Analytes of the mapping that a used table has; the others are not part of the study.
    std::vector<bool> measuredAnalytes() {
        std::vector<bool> measured(mapping_.analytes.size(), false);
        for (const auto& ids : analytesByTable()) {
            for (std::size_t a = 0; a < measured.size(); ++a) {
                measured[a] =
                    measured[a] || std::find(ids.begin(), ids.end(), mapping_.analytes[a].id) != ids.end();
            }
        }
        for (std::size_t a = 0; a < measured.size(); ++a) {
            if (!measured[a]) {
                problems_.add(Weight::note, problemAt("", 0, "analytes",
                                                      "no table has values of " + mapping_.analytes[a].id +
                                                          "; the study is without it"));
            }
        }
        return measured;
    }

    Study makeStudy() {
        Study study;
        study.title = options_.title.empty() ? mapping_.title : options_.title;
        for (const FoodMapping& food : mapping_.foods) {
            study.foods.push_back({food.id, food.label.empty() ? food.id : food.label,
                                   food.role.value_or(FoodRole::test), food.availableCarbohydrateG,
                                   food.portionG});
        }
        const std::vector<bool> measured = measuredAnalytes();
        for (std::size_t a = 0; a < mapping_.analytes.size(); ++a) {
            if (measured[a]) {
                study.analytes.push_back(
                    {mapping_.analytes[a].id, context_->units[a], mapping_.analytes[a].specimen});
                study.concentrations.push_back(std::move(gathered_.concentrations[a]));
            }
        }
        study.sampleFiles = {options_.samplesFile};
        study.subjectsFile = gathered_.keepSubjects ? options_.subjectsFile : std::string{};
        study.visitsFile = gathered_.keepVisits ? options_.visitsFile : std::string{};
        study.plan.timeBasis = mapping_.nominalBasis ? TimeBasis::nominal : TimeBasis::actual;
        std::uint32_t row = 2;
        for (const auto& [key, facts] : gathered_.visits) {
            if (gathered_.keepVisits) {
                study.visits.push_back({key.subject, key.food, key.visit, facts.period, facts.date,
                                        facts.mealStart ? clockText(*facts.mealStart) : std::string{},
                                        facts.remark, row++});
            }
        }
        row = 2;
        std::optional<VisitKey> last;  // the draws of a visit follow each other
        std::int32_t period = 0;
        for (Draw& draw : gathered_.draws) {
            draw.file = 0;
            draw.row = row++;
            if (draw.period == 0 && !gathered_.visits.empty()) {
                const VisitKey key{draw.subject, draw.food, draw.visit};
                if (last != key) {
                    last = key;
                    const auto visit = gathered_.visits.find(key);
                    period = visit == gathered_.visits.end() ? 0 : visit->second.period;
                }
                draw.period = period;
            }
        }
        study.subjects = std::move(gathered_.subjects);
        study.draws = std::move(gathered_.draws);
        study.nominalMin = std::move(gathered_.nominal);
        study.replicate = std::move(gathered_.replicate);
        study.belowLimit = std::move(gathered_.belowLimit);
        for (BelowLimit& below : study.belowLimit) {
            below.analyte = static_cast<std::uint32_t>(std::count(
                measured.begin(), measured.begin() + static_cast<std::ptrdiff_t>(below.analyte), true));
        }
        std::sort(study.belowLimit.begin(), study.belowLimit.end(),
                  [](const BelowLimit& a, const BelowLimit& b) {
                      return std::tie(a.draw, a.analyte) < std::tie(b.draw, b.analyte);
                  });
        study.remarks = std::move(gathered_.remarks);
        return study;
    }

    std::span<const InputTable> tables_;
    const Mapping& mapping_;
    const TakeInOptions& options_;
    const std::function<bool(double)>& progress_;
    ProblemList problems_;
    std::vector<UsedTable> used_;
    std::vector<std::string> names_;
    std::unique_ptr<RowContext> context_;
    Gathered gathered_;
    std::set<std::size_t> sources_;
    bool stopped_ = false;
};

}  // namespace

TakenIn takeIn(std::span<const InputTable> tables, const Mapping& mapping, const TakeInOptions& options,
               const std::function<bool(double)>& progress) {
    if (!readAhead(tables, mapping, progress)) {
        return {std::nullopt, {}, true};
    }
    std::vector<Problem> checked = checkMapping(mapping, tables);
    if (errorCount(checked) > 0) {
        return {std::nullopt, std::move(checked), false};
    }
    TakenIn taken = Intake{tables, mapping, options, progress}.run();
    taken.problems.insert(taken.problems.begin(), std::make_move_iterator(checked.begin()),
                          std::make_move_iterator(checked.end()));
    return taken;
}

}  // namespace aftercurve
