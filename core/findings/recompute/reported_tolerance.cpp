// Symptom diaries and adverse events. Rows are told apart by numbers: of the item, of the arm (a food at one
// dose), of the event.
#include <array>
#include <string>
#include <string_view>

#include "core/findings/recompute/parts.h"
#include "core/findings/tables/builders.h"

namespace aftercurve {

namespace {

constexpr std::array<std::string_view, 3> words{"any", "marked", "method"};

std::string joined(std::size_t a, std::size_t b) {
    return std::to_string(a + 1) + "/" + std::to_string(b + 1);
}

class ToleranceRows {
  public:
    ToleranceRows(ReportedRows& rows, const StudyNumbers& numbers, const Findings& findings)
        : rows_{rows}, numbers_{numbers}, findings_{findings}, tolerance_{findings.tolerance} {}

    void addScores() {
        const Table table = toleranceScoresTable(nameless_, findings_);
        for (std::size_t i = 0; i < table.rows.size(); ++i) {
            const DiaryScore& score = tolerance_.scores[i];
            ReportedPlace place;
            place.item = joined(score.quantity, score.arm);
            place.subject = numbers_.subject.at(score.subject);
            addTableRow(rows_, place, table, table.rows[i], words);
        }
    }

    template <class Things>
    void addByMeasure(const Table& table, const Things& things) {
        for (std::size_t i = 0; i < table.rows.size(); ++i) {
            ReportedPlace place;
            place.item = joined(things[i].quantity, things[i].arm);
            place.measure = kindOf(things[i].measure).key;
            addTableRow(rows_, place, table, table.rows[i], words);
        }
    }

    void addDoses() {
        const Table table = toleranceDosesTable(nameless_, findings_);
        for (std::size_t i = 0; i < table.rows.size(); ++i) {
            const ToleranceDoseTest& one = tolerance_.doseTests[i];
            ReportedPlace place;
            place.food = numbers_.food.at(one.food);
            place.measure = kindOf(one.measure).key;
            place.item = std::to_string(one.quantity + 1);
            addTableRow(rows_, place, table, table.rows[i], words);
            place.table = "tolerance_dose_pairs";
            for (const FriedmanPair& pair : one.test.againstComparator) {
                place.item = joined(one.quantity, one.arms[pair.foodA]);
                addNumber(rows_, place, "mean_rank_difference", pair.meanRankDifference);
                addNumber(rows_, place, "p_adjusted", pair.pAdjusted, one.test.pairsAbsentBecause);
            }
        }
    }

    void addIncidence() {
        const Table table = toleranceIncidenceTable(nameless_, findings_);
        for (std::size_t i = 0; i < table.rows.size(); ++i) {
            const ToleranceIncidence& one = tolerance_.incidence[i];
            ReportedPlace place;
            place.item = joined(one.quantity, one.arm) +
                         (one.criterion == IncidenceCriterion::any ? "/any" : "/marked");
            addTableRow(rows_, place, table, table.rows[i]);
        }
    }

    void addCategories() {
        const Table table = toleranceCategoriesTable(nameless_, findings_);
        std::size_t row = 0;
        for (const ToleranceCategories& one : tolerance_.categories) {
            for (std::size_t c = 0; c < one.subjects.size(); ++c) {
                ReportedPlace place;
                place.item =
                    joined(one.quantity, one.arm) + "/" + std::to_string(one.least + static_cast<int>(c));
                addTableRow(rows_, place, table, table.rows.at(row++));
            }
        }
    }

    void addMissing() {
        const Table table = diaryMissingTable(nameless_, findings_);
        std::size_t row = 0;
        for (const DiaryRun& run : tolerance_.runs.runs) {
            if (run.missing.empty()) {
                continue;
            }
            ReportedPlace place;
            place.item = std::to_string(run.arm + 1) + "/" + std::to_string(run.period);
            place.subject = numbers_.subject.at(run.subject);
            addTableRow(rows_, place, table, table.rows.at(row++));
        }
    }

    void addByOrder(const Table& table) {
        for (std::size_t i = 0; i < table.rows.size(); ++i) {
            ReportedPlace place;
            place.item = std::to_string(i + 1);
            addTableRow(rows_, place, table, table.rows[i]);
        }
    }

  private:
    ReportedRows& rows_;
    const StudyNumbers& numbers_;
    const Findings& findings_;
    const ToleranceFindings& tolerance_;
    const Study nameless_;
};

}  // namespace

void addTolerance(ReportedRows& rows, const StudyNumbers& numbers, const Findings& findings) {
    const Study nameless;
    ToleranceRows tolerance{rows, numbers, findings};
    tolerance.addScores();
    tolerance.addByMeasure(toleranceSummaryTable(nameless, findings), findings.tolerance.summaries);
    tolerance.addByMeasure(toleranceTestsTable(nameless, findings), findings.tolerance.tests);
    tolerance.addDoses();
    tolerance.addIncidence();
    tolerance.addCategories();
    tolerance.addMissing();
    tolerance.addByOrder(adverseEventsTable(nameless, findings));
    tolerance.addByOrder(adverseEventCountsTable(nameless, findings));
}

}  // namespace aftercurve
