#pragma once

#include <cstddef>
#include <optional>
#include <span>
#include <string>
#include <vector>

#include "core/base/problem.h"
#include "core/compare/exact_share.h"
#include "core/compare/friedman.h"
#include "core/compare/hodges_lehmann.h"
#include "core/compare/mcnemar.h"
#include "core/compare/ordinal_mixed.h"
#include "core/compare/paired_superiority.h"
#include "core/compare/paired_t.h"
#include "core/compare/sign_test.h"
#include "core/compare/signed_rank.h"
#include "core/study/study.h"
#include "core/tolerance/diary_runs.h"
#include "core/tolerance/diary_scores.h"

namespace aftercurve {

/// One measure of one quantity over the subjects of an arm. The interval is that of the mean by t; for a
/// short ordinal scale it is a rough guide.
struct ToleranceSummary {
    std::size_t quantity = 0;
    std::size_t arm = 0;
    DiaryMeasure measure = DiaryMeasure::worst;
    PairedT mean;  ///< of the values themselves: n, mean, SD, SEM, interval
    std::optional<double> median;
    std::optional<double> lowerQuartile;
    std::optional<double> upperQuartile;
    std::optional<double> largest;
};

struct ToleranceLeftOut {
    std::string subject;
    std::string reason;
};

/// One arm against the comparator's for one measure: difference = arm − comparator, over the subjects with
/// both.
struct ToleranceTest {
    std::size_t quantity = 0;
    std::size_t arm = 0;
    std::size_t comparator = 0;
    DiaryMeasure measure = DiaryMeasure::worst;
    std::size_t n = 0;
    std::vector<ToleranceLeftOut> leftOut;
    PairedT difference;  ///< its mean and interval
    SignedRank signedRank;
    std::optional<double> pAdjusted;  ///< of signedRank.p, over the arms of one quantity and measure
    HodgesLehmann hodgesLehmann;
    SignTest signTest;
    PairedSuperiority superiority;
};

/// Friedman's test over the doses of one food; the comparator's arm comes first where it has one arm only.
struct ToleranceDoseTest {
    std::size_t quantity = 0;
    DiaryMeasure measure = DiaryMeasure::worst;
    std::string food;
    std::vector<std::size_t> arms;  ///< columns of the test
    Friedman test;
};

enum class IncidenceCriterion { any, marked };

/// How many subjects of an arm had a score above the least of the scale (any) or from the threshold on
/// (marked) on one day or more, and McNemar's test against the comparator over the subjects with both.
struct ToleranceIncidence {
    std::size_t quantity = 0;
    std::size_t arm = 0;
    IncidenceCriterion criterion = IncidenceCriterion::any;
    ExactShare share;
    std::size_t noWithMissingDays = 0;  ///< of those counted as no: some planned day has no score
    bool tested = false;                ///< false for the comparator itself and where there is none
    McNemar test;
    std::optional<double> pAdjusted;  ///< of test.p, over the arms of one quantity and criterion
};

/// Subjects by the worst score that they gave, and days by their score; categories from the least of the
/// scale.
struct ToleranceCategories {
    std::size_t quantity = 0;
    std::size_t arm = 0;
    int least = 0;
    std::vector<std::size_t> subjects;
    std::vector<std::size_t> days;
    std::size_t subjectCount = 0;
    std::size_t dayCount = 0;
};

/// Adverse events of one food and one severity, as written. No cause is claimed.
struct AdverseEventCount {
    std::string food;      ///< empty: no food was given
    std::string severity;  ///< empty: not given
    std::size_t events = 0;
    std::size_t subjects = 0;  ///< with one or more
    std::size_t serious = 0;   ///< events
};

/// The worst score of each subject in all arms in one model of proportional odds, the comparator's (first)
/// arm as group 0; without a comparator the first arm.
struct ToleranceOrdinalModel {
    std::size_t quantity = 0;
    std::vector<std::size_t> arms;  ///< as groups of the model
    std::vector<double> values;     ///< the distinct scores, ascending: the categories of the model
    std::size_t withoutScore = 0;   ///< subjects with a diary of an arm but no score: no row of the model
    OrdinalMixed model;
    std::vector<std::optional<double>> pAdjusted;  ///< by group from 1, over the arms of one quantity
};

/// What the diaries of symptoms show. All empty where the study has none.
struct ToleranceFindings {
    std::vector<DiaryQuantity> quantities;
    DiaryRuns runs;
    std::string comparator;  ///< food id; empty: no test
    std::string testsAbsentBecause;
    std::vector<DiaryScore> scores;
    std::vector<ToleranceSummary> summaries;
    std::vector<ToleranceTest> tests;
    std::vector<ToleranceDoseTest> doseTests;
    std::vector<ToleranceOrdinalModel> ordinalModels;
    std::vector<ToleranceIncidence> incidence;
    std::vector<ToleranceCategories> categories;
    std::vector<AdverseEvent> events;  ///< in the order of study.json; exclusions do not take any out
    std::vector<AdverseEventCount> eventCounts;
};

/// `plan` resolved, its comparator filled in. The arm that others are tested against: the only arm of the
/// comparator; where it has several, the one of the same dose.
ToleranceFindings toleranceFindings(const Study& study, const Plan& plan);

/// Missing days, days left out, serious events, and diaries without a comparator.
std::vector<Problem> problemsOf(const Study& study, const ToleranceFindings& findings);

/// The arm's place of comparison; nothing for the comparator itself and where there is none.
std::optional<std::size_t> comparatorArmOf(const ToleranceFindings& findings, std::size_t arm);

/// Label of the food with its dose: "Pea crispbread, 10 g".
std::string armLabel(const Study& study, const DiaryArm& arm);

}  // namespace aftercurve
