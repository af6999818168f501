#include <gtest/gtest.h>

#include <QAbstractItemModelTester>
#include <QSignalSpy>

#include "tests/support/figure_fixture.h"
#include "ui/models/problems_model.h"
#include "ui/models/result_table_model.h"
#include "ui/models/samples_model.h"

namespace aftercurve {

namespace {

Study studyWithRemarks() {
    Study study = fixture::trialStudy();
    study.flaws.push_back({2, 0, "'5,4' is written with a decimal comma"});
    study.concentrations[0][2].reset();
    study.exclusions = {
        {study.subjects[1].id, "", std::nullopt, "", "vomited at 40 min", "study physician", "2026-03-02"}};
    return study;
}

std::shared_ptr<const Table> smallTable() {
    Table table;
    table.key = "small";
    table.columns = {{"food", "Food", "", ColumnKind::text, 0, ""},
                     {"mean", "Mean", "mmol/L", ColumnKind::number, 2, "Arithmetic mean"},
                     {"p", "p", "", ColumnKind::pValue, 3, ""}};
    table.rows = {{"barley", {std::string("Barley wafer"), 5.123, 0.0002}, "samples.csv", 2, false},
                  {"pulse", {std::string("Pulse wafer"), {}, {}}, "samples.csv", 9, true}};
    return std::make_shared<const Table>(table);
}

}  // namespace

TEST(SamplesModel, KeepsTheRulesOfAModel) {
    SamplesModel model;
    const QAbstractItemModelTester tester(&model, QAbstractItemModelTester::FailureReportingMode::Fatal);
    model.setStudy(std::make_shared<const Study>(studyWithRemarks()));
    model.setFilter(QStringLiteral("drink"));
    model.setFilter(QString());
    model.setStudy(nullptr);
}

TEST(SamplesModel, ShowsDrawsInFileOrderWithTheirUnits) {
    const auto study = std::make_shared<const Study>(studyWithRemarks());
    SamplesModel model;
    model.setStudy(study);
    ASSERT_EQ(model.rowCount(), static_cast<int>(study->draws.size()));
    EXPECT_EQ(model.headerData(model.columnNamed("glucose").value(), Qt::Horizontal, Qt::DisplayRole)
                  .toString()
                  .toStdString(),
              "Glucose\n" + study->analytes[0].unit);
    EXPECT_EQ(model.index(0, model.columnNamed("time_min").value()).data().toDouble(), study->draws[0].timeMin);
    EXPECT_EQ(model.index(0, model.columnNamed("subject").value()).data().toString().toStdString(),
              study->subjects[study->draws[0].subject].id);
    EXPECT_EQ(model.index(0, model.columnNamed("time_min").value()).data(Qt::TextAlignmentRole).toInt() & Qt::AlignRight,
              Qt::AlignRight);
}

TEST(SamplesModel, AnAbsentValueIsADashAndAFlawHasItsReason) {
    Study study = studyWithRemarks();
    study.concentrations[0][0].reset();
    SamplesModel model;
    model.setStudy(std::make_shared<const Study>(study));
    EXPECT_EQ(model.index(0, model.columnNamed("glucose").value()).data().toString(), QStringLiteral("–"));
    EXPECT_FALSE(model.index(0, model.columnNamed("glucose").value()).data(SamplesModel::flawedRole).toBool());
    const QModelIndex flawed = model.index(2, model.columnNamed("glucose").value());
    EXPECT_TRUE(flawed.data(SamplesModel::flawedRole).toBool());
    EXPECT_TRUE(flawed.data(Qt::ToolTipRole).toString().contains(QStringLiteral("decimal comma")));
    EXPECT_NE(flawed.data().toString(), QStringLiteral("–"));
}

TEST(SamplesModel, AnExcludedRowIsGreyAndSaysWhy) {
    const auto study = std::make_shared<const Study>(studyWithRemarks());
    SamplesModel model;
    model.setStudy(study);
    int excluded = 0;
    for (int row = 0; row < model.rowCount(); ++row) {
        const bool matches = study->draws[static_cast<std::size_t>(row)].subject == 1;
        EXPECT_EQ(model.index(row, model.columnNamed("time_min").value()).data(SamplesModel::excludedRole).toBool(),
                  matches);
        if (matches) {
            ++excluded;
            EXPECT_TRUE(
                model.index(row, 0)
                    .siblingAtColumn(model.columnCount() - 1)
                    .data()
                    .toString()
                    .contains(QStringLiteral("excluded: vomited at 40 min (study physician, 2026-03-02)")));
        }
    }
    EXPECT_GT(excluded, 0);
}

TEST(SamplesModel, AnExclusionOfOneAnalyteGreysThatCellAlone) {
    Study study = studyWithRemarks();
    study.exclusions = {{study.subjects[0].id, "", std::nullopt, study.analytes[1].id, "haemolysed", "", ""}};
    SamplesModel model;
    model.setStudy(std::make_shared<const Study>(study));
    EXPECT_FALSE(model.index(0, model.columnNamed("glucose").value()).data(SamplesModel::excludedRole).toBool());
    EXPECT_TRUE(model.index(0, model.columnNamed("glucose").value() + 1).data(SamplesModel::excludedRole).toBool());
}

TEST(SamplesModel, FiltersBySubjectOrFood) {
    const auto study = std::make_shared<const Study>(studyWithRemarks());
    SamplesModel model;
    model.setStudy(study);
    model.setFilter(QString::fromStdString(study->foods[1].label).toUpper());
    ASSERT_GT(model.rowCount(), 0);
    for (int row = 0; row < model.rowCount(); ++row) {
        EXPECT_EQ(model.index(row, model.columnNamed("food").value()).data().toString().toStdString(),
                  study->foods[1].label);
    }
    model.setFilter(QStringLiteral("no such thing"));
    EXPECT_EQ(model.rowCount(), 0);
}

TEST(SamplesModel, FindsTheRowOfALine) {
    const auto study = std::make_shared<const Study>(studyWithRemarks());
    SamplesModel model;
    model.setStudy(study);
    const Draw& draw = study->draws[5];
    EXPECT_EQ(model.rowOfLine(study->sampleFiles[draw.file], draw.row), 5);
    EXPECT_EQ(model.rowOfLine("other.csv", draw.row), std::nullopt);
    EXPECT_EQ(model.rowOfLine(study->sampleFiles[draw.file], 999999), std::nullopt);
}

TEST(ResultTableModel, KeepsTheRulesOfAModel) {
    ResultTableModel model;
    const QAbstractItemModelTester tester(&model, QAbstractItemModelTester::FailureReportingMode::Fatal);
    model.setTable(smallTable(), {{"barley", 1, "5.00"}});
    model.setTable(nullptr, {});
}

TEST(ResultTableModel, ShowsWhatPeopleReadAndSortsByTheNumber) {
    ResultTableModel model;
    model.setTable(smallTable(), {});
    EXPECT_EQ(model.index(0, 1).data().toString(), QStringLiteral("5.12"));
    EXPECT_EQ(model.index(0, 1).data(ResultTableModel::sortRole).toDouble(), 5.123);
    EXPECT_EQ(model.index(0, 2).data().toString(), QStringLiteral("<0.001"));
    EXPECT_EQ(model.index(1, 1).data().toString(), QStringLiteral("–"));
    EXPECT_FALSE(model.index(1, 1).data(ResultTableModel::sortRole).isValid());
    EXPECT_EQ(model.headerData(1, Qt::Horizontal, Qt::DisplayRole).toString(),
              QStringLiteral("Mean\nmmol/L"));
    EXPECT_EQ(model.headerData(1, Qt::Horizontal, Qt::ToolTipRole).toString(),
              QStringLiteral("Arithmetic mean"));
    EXPECT_TRUE(model.index(1, 0).data(Qt::ForegroundRole).isValid()) << "a row that does not count is muted";
}

TEST(ResultTableModel, MarksWhatChangedAndOnlyThat) {
    ResultTableModel model;
    model.setTable(smallTable(), {{"barley", 1, "5.00"}, {"pulse", 2, ""}, {"gone", 0, "x"}});
    EXPECT_EQ(model.index(0, 1).data(Qt::ToolTipRole).toString(), QStringLiteral("was 5.00"));
    EXPECT_TRUE(
        model.index(0, 1).data(Qt::AccessibleTextRole).toString().contains(QStringLiteral("was 5.00")));
    EXPECT_TRUE(model.index(0, 1).data(Qt::BackgroundRole).isValid());
    EXPECT_TRUE(model.index(1, 2).data(ResultTableModel::changedRole).toBool());
    EXPECT_FALSE(model.index(0, 0).data(ResultTableModel::changedRole).toBool());
    EXPECT_FALSE(model.index(0, 0).data(Qt::BackgroundRole).isValid());
}

TEST(ProblemsModel, KeepsTheRulesOfAModelAndSaysAllOfAProblem) {
    ProblemsModel model;
    const QAbstractItemModelTester tester(&model, QAbstractItemModelTester::FailureReportingMode::Fatal);
    Problem problem;
    problem.severity = Severity::warning;
    problem.what = "glucose 1.9 mmol/L is low";
    problem.remedy = "Check the sample";
    problem.file = "samples.csv";
    problem.row = 14;
    problem.subject = "07";
    problem.food = "barley";
    problem.visit = 2;
    problem.analyte = "glucose";
    problem.timeMin = 30;
    model.setProblems({problem});
    EXPECT_EQ(model.index(0, ProblemsModel::severityColumn).data().toString(), QStringLiteral("warning"));
    EXPECT_EQ(model.index(0, ProblemsModel::placeColumn).data().toString(), QStringLiteral("samples.csv:14"));
    EXPECT_EQ(model.index(0, ProblemsModel::concernsColumn).data().toString(),
              QStringLiteral("subject 07, barley, visit 2, glucose, 30 min"));
    EXPECT_EQ(model.index(0, ProblemsModel::remedyColumn).data().toString(),
              QStringLiteral("Check the sample"));
}

}  // namespace aftercurve
