#include "core/intake/merge_draws.h"

#include <algorithm>
#include <numeric>
#include <tuple>
#include <unordered_map>
#include <utility>

#include "core/base/number_text.h"

namespace aftercurve {

namespace {

/// Runs of rows that are one draw: `order` sorted, a run from starts[i] to starts[i + 1].
struct Runs {
    std::vector<std::uint32_t> order;
    std::vector<std::uint32_t> starts;
};

double keyTime(const Gathered& g, std::size_t i) {
    return g.withNominal && g.nominal[i] ? *g.nominal[i] : g.draws[i].timeMin;
}

auto keyOf(const Gathered& g, std::size_t i) {
    const Draw& draw = g.draws[i];
    return std::make_tuple(draw.subject, draw.visit, draw.food, keyTime(g, i),
                           g.withReplicate ? g.replicate[i] : 1);
}

bool isSortedAlready(const Gathered& g) {
    for (std::size_t i = 1; i < g.draws.size(); ++i) {
        if (!(keyOf(g, i - 1) < keyOf(g, i))) {
            return false;
        }
    }
    return true;
}

/// The rows of each subject together, in the order read; the second is where each subject's rows end. Rows
/// are sorted within a subject only, which is quick since few of them are needed at a time.
std::pair<std::vector<std::uint32_t>, std::vector<std::uint32_t>> rowsBySubject(const Gathered& g) {
    std::vector<std::uint32_t> next(g.subjects.size() + 1, 0);
    for (const Draw& draw : g.draws) {
        ++next[draw.subject + 1];
    }
    std::partial_sum(next.begin(), next.end(), next.begin());
    std::vector<std::uint32_t> order(g.draws.size());
    for (std::size_t i = 0; i < g.draws.size(); ++i) {
        order[next[g.draws[i].subject]++] = static_cast<std::uint32_t>(i);
    }
    next.pop_back();
    return {std::move(order), std::move(next)};
}

Runs runsOf(const Gathered& g, Watch& watch) {
    auto [order, ends] = rowsBySubject(g);
    Runs runs;
    runs.starts.reserve(order.size() + 1);
    std::size_t sorted = 0;
    for (std::size_t subject = 0; subject < ends.size(); ++subject) {
        const auto begin = order.begin() + static_cast<std::ptrdiff_t>(sorted);
        std::sort(begin, order.begin() + static_cast<std::ptrdiff_t>(ends[subject]),
                  [&g](std::uint32_t a, std::uint32_t b) {
                      const auto one = keyOf(g, a);
                      const auto other = keyOf(g, b);
                      return one < other || (one == other && a < b);
                  });
        for (; sorted < ends[subject]; ++sorted) {
            if (!watch.goesOn(sorted)) {
                return runs;
            }
            if (sorted == 0 || keyOf(g, order[sorted - 1]) != keyOf(g, order[sorted])) {
                runs.starts.push_back(static_cast<std::uint32_t>(sorted));
            }
        }
    }
    runs.starts.push_back(static_cast<std::uint32_t>(order.size()));
    runs.order = std::move(order);
    return runs;
}

class Merger {
  public:
    Merger(Gathered& gathered, std::span<const std::string> tables, const Mapping& mapping,
           ProblemList& problems, const GoOn& goOn)
        : g_(gathered), tables_(tables), mapping_(mapping), problems_(problems), watch_(goOn) {}

    MergeCounts run() {
        counts_.onlyIn.resize(tables_.size());
        if (isSortedAlready(g_)) {
            for (const Draw& draw : g_.draws) {
                ++counts_.onlyIn[draw.file];
            }
            return counts_;
        }
        runs_ = runsOf(g_, watch_);
        if (!watch_.stopped()) {
            for (const BelowLimit& below : g_.belowLimit) {
                limits_.emplace(cell(below.draw, below.analyte), below.limit);
            }
            countTables();
            mergeConcentrations();
            mergeTimes();
            mergeRemarks();
        }
        counts_.stopped = watch_.stopped();
        return counts_;
    }

  private:
    std::size_t runCount() const { return runs_.starts.size() - 1; }
    std::span<const std::uint32_t> rowsOf(std::size_t run) const {
        return std::span{runs_.order}.subspan(runs_.starts[run], runs_.starts[run + 1] - runs_.starts[run]);
    }
    static std::uint64_t cell(std::uint32_t draw, std::size_t analyte) {
        return (static_cast<std::uint64_t>(draw) << 32U) | analyte;
    }
    std::string placeIn(std::uint32_t row) const {
        const Draw& draw = g_.draws[row];
        return tables_[draw.file] + ":" + std::to_string(draw.row);
    }

    void countTables() {
        for (std::size_t run = 0; run < runCount() && watch_.goesOn(run); ++run) {
            const auto rows = rowsOf(run);
            const std::uint32_t first = g_.draws[rows[0]].file;
            const bool one = std::all_of(rows.begin(), rows.end(),
                                         [&](std::uint32_t r) { return g_.draws[r].file == first; });
            counts_.onlyIn[first] += one ? 1U : 0U;
            counts_.merged += rows.size() > 1 ? 1U : 0U;
        }
    }

    /// Of a cell without a value; one with a value has none.
    std::optional<double> limitAt(std::uint32_t row, std::size_t analyte) const {
        if (limits_.empty() || g_.concentrations[analyte][row]) {
            return std::nullopt;
        }
        const auto found = limits_.find(cell(row, analyte));
        return found == limits_.end() ? std::nullopt : std::optional{found->second};
    }

    void contradict(std::uint32_t kept, std::uint32_t row, const std::string& what) {
        problems_.add(Weight::fatal, [&] {
            const Draw& draw = g_.draws[row];
            Problem problem =
                problemAt(tables_[draw.file], draw.row, "",
                          "two rows of one draw (" + placeIn(kept) + " and this) differ in " + what,
                          "mend the files, or map the column that tells the rows apart: visit, food, time, "
                          "or replicate for assay duplicates");
            problem.subject = g_.subjects[draw.subject].id;
            problem.food = mapping_.foods[draw.food].id;
            problem.visit = draw.visit;
            problem.timeMin = keyTime(g_, row);
            return problem;
        });
    }

    void mergeConcentrations() {
        std::vector<BelowLimit> belowLimit;
        for (std::size_t a = 0; a < g_.concentrations.size(); ++a) {
            const auto& from = g_.concentrations[a];
            std::vector<std::optional<double>> to;
            to.reserve(runCount());
            for (std::size_t run = 0; run < runCount() && watch_.goesOn(run); ++run) {
                std::optional<std::uint32_t> kept;  // the row that gives the cell
                for (const std::uint32_t row : rowsOf(run)) {
                    const auto limit = limitAt(row, a);
                    if (!from[row] && !limit) {
                        continue;
                    }
                    if (!kept) {
                        kept = row;
                    } else if (from[row] == from[*kept] && limit == limitAt(*kept, a)) {
                        ++counts_.repeated;
                    } else {
                        contradict(
                            *kept, row,
                            mapping_.analytes[a].id + ": " + shown(*kept, a) + " and " + shown(row, a));
                    }
                }
                to.push_back(kept ? from[*kept] : std::nullopt);
                if (const auto limit = kept ? limitAt(*kept, a) : std::nullopt) {
                    belowLimit.push_back(
                        {static_cast<std::uint32_t>(run), static_cast<std::uint32_t>(a), *limit});
                }
            }
            g_.concentrations[a] = std::move(to);
        }
        g_.belowLimit = std::move(belowLimit);
    }

    std::string shown(std::uint32_t row, std::size_t analyte) const {
        const auto& value = g_.concentrations[analyte][row];
        return value ? plainNumber(*value) : "<" + plainNumber(limitAt(row, analyte).value_or(0.0));
    }

    template <class Value>
    void pickFirst(std::vector<Value>& values) {
        std::vector<Value> to;
        to.reserve(runCount());
        for (std::size_t run = 0; run < runCount() && watch_.goesOn(run); ++run) {
            to.push_back(values[rowsOf(run)[0]]);
        }
        values = std::move(to);
    }

    void mergeTimes() {
        std::vector<Draw> draws;
        std::vector<bool> noActual;
        draws.reserve(runCount());
        for (std::size_t run = 0; run < runCount() && watch_.goesOn(run); ++run) {
            const auto rows = rowsOf(run);
            std::uint32_t kept = rows[0];
            for (const std::uint32_t row : rows) {
                if (g_.withNominal && g_.noActual[kept] && !g_.noActual[row]) {
                    kept = row;
                }
            }
            for (const std::uint32_t row : rows) {
                const bool actual = !g_.withNominal || !g_.noActual[row];
                if (actual && g_.draws[row].timeMin != g_.draws[kept].timeMin) {
                    contradict(kept, row,
                               "actual time: " + plainNumber(g_.draws[kept].timeMin) + " and " +
                                   plainNumber(g_.draws[row].timeMin) + " min");
                }
            }
            Draw draw = g_.draws[kept];
            for (const std::uint32_t row : rows) {
                draw.period = draw.period == 0 ? g_.draws[row].period : draw.period;
            }
            draws.push_back(draw);
            if (g_.withNominal) {
                noActual.push_back(g_.noActual[kept]);
            }
        }
        if (g_.withNominal) {
            pickFirstNominal();
            g_.noActual = std::move(noActual);
        }
        if (g_.withReplicate) {
            pickFirst(g_.replicate);
        }
        g_.draws = std::move(draws);
    }

    void pickFirstNominal() {
        std::vector<std::optional<double>> to;
        to.reserve(runCount());
        for (std::size_t run = 0; run < runCount() && watch_.goesOn(run); ++run) {
            std::optional<double> nominal;
            for (const std::uint32_t row : rowsOf(run)) {
                nominal = nominal ? nominal : g_.nominal[row];
            }
            to.push_back(nominal);
        }
        g_.nominal = std::move(to);
    }

    void mergeRemarks() {
        std::unordered_map<std::uint32_t, std::string> byRow;
        for (DrawRemark& remark : g_.remarks) {
            byRow.emplace(remark.draw, std::move(remark.text));
        }
        g_.remarks.clear();
        for (std::size_t run = 0; run < runCount() && !byRow.empty() && watch_.goesOn(run); ++run) {
            std::string text;
            for (const std::uint32_t row : rowsOf(run)) {
                const auto found = byRow.find(row);
                if (found != byRow.end() && text.find(found->second) == std::string::npos) {
                    text += (text.empty() ? "" : "; ") + found->second;
                }
            }
            if (!text.empty()) {
                g_.remarks.push_back({static_cast<std::uint32_t>(run), std::move(text)});
            }
        }
    }

    Gathered& g_;
    std::span<const std::string> tables_;
    const Mapping& mapping_;
    ProblemList& problems_;
    Runs runs_;
    std::unordered_map<std::uint64_t, double> limits_;
    Watch watch_;
    MergeCounts counts_;
};

}  // namespace

MergeCounts mergeDraws(Gathered& gathered, std::span<const std::string> tables, const Mapping& mapping,
                       ProblemList& problems, const GoOn& goOn) {
    return Merger{gathered, tables, mapping, problems, goOn}.run();
}

}  // namespace aftercurve
