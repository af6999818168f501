#include "core/findings/conformity_rows.h"

#include <cmath>

#include "core/base/number_text.h"
#include "core/findings/index_test_facts.h"
#include "core/findings/rounded_words.h"

namespace aftercurve {

namespace {

/// A sampling time is there where so many of 100 curves have it.
constexpr std::size_t curvesPercent = 90;

bool isNearEnough(std::size_t with, std::size_t of) {
    return of > 0 && 100 * with >= curvesPercent * of;
}

const Food& foodOf(const IndexRuleTest& test, const std::string& id) {
    return test.study.foods[*findFood(test.study, id)];
}

/// Largest difference allowed for rounding of a tolerance that is met exactly: 45 g beside 50 g at 10 %.
constexpr double tolerancePlay = 1e-9;

double differencePercent(double value, double wanted) {
    return 100.0 * std::abs(value - wanted) / wanted;
}

bool matches(const IndexRuleTest& test, double value, double wanted) {
    return wanted > 0.0 &&
           differencePercent(value, wanted) <= test.plan.indexPlan.matchTolerancePercent + tolerancePlay;
}

/// Where nobody has an index, the visits of all subjects are counted.
std::vector<std::string> everyone(const Study& study) {
    std::vector<std::string> ids;
    for (const Subject& subject : study.subjects) {
        ids.push_back(subject.id);
    }
    return ids;
}

std::string toleranceWords(const IndexRuleTest& test) {
    return "within the plan's " + plainNumber(test.plan.indexPlan.matchTolerancePercent) + " %";
}

void addPortion(IndexRuleRows& rows, const IndexStandardRules& rules, const IndexRuleTest& test,
                const Food& food) {
    const PortionAsked& asked = rules.portion->value;
    auto& row = rows.add(*rules.portion, "portion", "Available carbohydrate of the portion",
                         (asked.usual ? "usually " : "") + plainNumber(asked.carbohydrateG) + " g" +
                             (asked.alternativeG ? ", or " + plainNumber(*asked.alternativeG) + " g" : ""),
                         food.id);
    row.number = food.availableCarbohydrateG;
    if (!food.availableCarbohydrateG) {
        leaveNotStated(row, "not stated", "give the available carbohydrate of the portion");
        return;
    }
    const double has = *food.availableCarbohydrateG;
    const bool met = matches(test, has, asked.carbohydrateG) ||
                     (asked.alternativeG && matches(test, has, *asked.alternativeG));
    judgeRow(row, met, plainNumber(has) + " g" + (met ? " (" + toleranceWords(test) + ")" : ""),
             asked.usual ? "say why another amount was eaten" : "say so, and why");
}

}  // namespace

void judgeRow(ConformityFinding& row, bool met, std::string has, std::string remark) {
    row.status = met ? ConformityStatus::met : ConformityStatus::notMet;
    row.has = std::move(has);
    row.remark = met ? std::string{} : std::move(remark);
}

void leaveNotStated(ConformityFinding& row, std::string has, std::string remark) {
    row.status = ConformityStatus::notStated;
    row.has = std::move(has);
    row.remark = std::move(remark);
}

void addSubjectRows(IndexRuleRows& rows, const IndexStandardRules& rules, const IndexRuleTest& test) {
    if (rules.fewestSubjects) {
        const std::size_t wanted = rules.fewestSubjects->value;
        for (const IndexFinding* finding : test.foods) {
            auto& row = rows.add(*rules.fewestSubjects, "subjects", "Subjects in the index",
                                 "at least " + std::to_string(wanted), finding->food);
            row.number = static_cast<double>(finding->index.n);
            row.saidElsewhere = true;
            judgeRow(row, finding->index.n >= wanted, std::to_string(finding->index.n),
                     "say how many there are, or take in more");
        }
    }
    if (rules.healthCriteria) {
        auto& row = rows.add(*rules.healthCriteria, "health", "Who was taken in",
                             std::string{rules.healthCriteria->value});
        const Conduct& conduct = test.study.conduct;
        std::string has = conduct.population;
        if (!conduct.healthCriteria.empty()) {
            has += (has.empty() ? "not taken in: " : "; not taken in: ") + conduct.healthCriteria;
        }
        if (has.empty()) {
            leaveNotStated(row, "not stated", "state the population and who was not taken in");
        } else {
            row.status = ConformityStatus::look;
            row.has = has;
            row.remark = "compare the two texts: whether one covers the other is for a person to judge";
        }
    }
}

void addVisitRows(IndexRuleRows& rows, const IndexStandardRules& rules, const IndexRuleTest& test) {
    if (rules.referenceTests) {
        const ReferenceTestsAsked& asked = rules.referenceTests->value;
        auto& row =
            rows.add(*rules.referenceTests, "reference_tests", "Tests of the reference food per subject",
                     "at least " + std::to_string(asked.fewest) +
                         (asked.preferred ? ", preferably " + std::to_string(*asked.preferred) : ""),
                     test.reference);
        const IndexVisits visits = indexVisits(test.study, test.plan, test.curves, test.reference,
                                               test.kept.empty() ? everyone(test.study) : test.kept);
        const std::size_t enough = subjectsWithAtLeast(visits, asked.fewest);
        row.number = static_cast<double>(fewestVisits(visits));
        row.saidElsewhere = asked.fewest <= 2 || subjectsWithAtLeast(visits, 2) == 0;
        judgeRow(row, !visits.subjects.empty() && enough == visits.subjects.size(),
                 "fewest " + std::to_string(fewestVisits(visits)) + "; " + std::to_string(enough) + " of " +
                     countedWords(visits.subjects.size(), "subject") + " with at least " +
                     std::to_string(asked.fewest),
                 "plan repeats of the reference food");
    }
    if (rules.testTests) {
        const std::size_t wanted = rules.testTests->value;
        for (const IndexFinding* finding : test.foods) {
            auto& row = rows.add(*rules.testTests, "test_tests", "Tests of the food per subject",
                                 "at least " + std::to_string(wanted), finding->food);
            const IndexVisits visits =
                indexVisits(test.study, test.plan, test.curves, finding->food, keptSubjects(*finding));
            row.number = static_cast<double>(fewestVisits(visits));
            row.saidElsewhere = true;  // a subject without one has no index, and the index says so
            judgeRow(row, !visits.subjects.empty() && fewestVisits(visits) >= wanted,
                     visits.subjects.empty() ? "no subject has an index"
                                             : "fewest " + std::to_string(fewestVisits(visits)) + " of " +
                                                   countedWords(visits.subjects.size(), "subject"),
                     "the index needs a test of the food");
        }
    }
}

void addCarbohydrateRows(IndexRuleRows& rows, const IndexStandardRules& rules, const IndexRuleTest& test) {
    if (rules.portion) {
        addPortion(rows, rules, test, foodOf(test, test.reference));
        for (const IndexFinding* finding : test.foods) {
            addPortion(rows, rules, test, foodOf(test, finding->food));
        }
    }
    const Food& reference = foodOf(test, test.reference);
    for (const IndexFinding* finding : test.foods) {
        const Food& food = foodOf(test, finding->food);
        if (rules.equalCarbohydrate) {
            auto& row = rows.add(*rules.equalCarbohydrate, "equal_carbohydrate",
                                 "Same carbohydrate as the reference food",
                                 "the same amount in food and reference food", food.id);
            if (!food.availableCarbohydrateG || !reference.availableCarbohydrateG) {
                leaveNotStated(row, "not stated", "give the available carbohydrate of both portions");
            } else {
                const double has = *food.availableCarbohydrateG;
                const double beside = *reference.availableCarbohydrateG;
                const std::string both = plainNumber(has) + " g beside " + plainNumber(beside) + " g";
                if (beside > 0.0) {
                    row.number = differencePercent(has, beside);
                }
                judgeRow(
                    row, matches(test, has, beside),
                    both + (row.number ? ": " + roundedText(*row.number) + " % apart, " +
                                             (matches(test, has, beside) ? "" : "not ") + toleranceWords(test)
                                       : ""),
                    "the index is that of unequal amounts: say so");
            }
        }
        if (rules.fewestCarbohydrateG) {
            const double wanted = rules.fewestCarbohydrateG->value;
            auto& row = rows.add(
                *rules.fewestCarbohydrateG, "serving_carbohydrate", "Available carbohydrate of a serving",
                "at least " + plainNumber(wanted) + " g, for an index to make sense", food.id);
            const auto& serving = food.composition.servingG;
            if (!food.availableCarbohydrateG || !serving || !food.portionG || *food.portionG <= 0.0) {
                leaveNotStated(row, "not stated",
                               "give the portion, its available carbohydrate, and the serving");
            } else {
                row.number = *food.availableCarbohydrateG * (*serving / *food.portionG);
                judgeRow(row, *row.number >= wanted * (1.0 - tolerancePlay),
                         roundedText(*row.number) + " g in " + plainNumber(*serving) + " g",
                         "report the carbohydrate of a serving beside the index");
            }
        }
    }
}

void addReferenceFoodRow(IndexRuleRows& rows, const IndexStandardRules& rules, const IndexRuleTest& test) {
    if (!rules.referenceFood) {
        return;
    }
    const ReferenceFoodAsked& asked = rules.referenceFood->value;
    auto& row = rows.add(*rules.referenceFood, "reference_food", "Reference food", std::string{asked.words},
                         test.reference);
    const IndexPlan& plan = test.plan.indexPlan;
    row.number = plan.referenceFactor;
    const bool glucoseScale = std::abs(plan.referenceFactor - 1.0) <= 0.0;
    if (glucoseScale) {
        const std::string& source = plan.referenceFactorSource;
        row.has = labelOf(test.study, test.reference) +
                  ": declared as the glucose scale by the plan (factor 1" +
                  (source.empty() ? ")" : ", " + source + ")");
        row.status = source.empty() ? ConformityStatus::look : ConformityStatus::met;
        row.remark =
            source.empty() ? "a plan that says nothing has factor 1 too: see that the food is glucose" : "";
        return;
    }
    judgeRow(row, asked.otherFoods,
             labelOf(test.study, test.reference) + ": another food than glucose by the plan (factor " +
                 plainNumber(plan.referenceFactor) +
                 (plan.referenceFactorSource.empty() ? "" : ", " + plan.referenceFactorSource) + ")",
             "give the index on the glucose scale, with the factor and its source");
}

void addSamplingRows(IndexRuleRows& rows, const IndexStandardRules& rules, const IndexRuleTest& test) {
    if (rules.sampleTimes) {
        const auto asked = rules.sampleTimes->value;
        std::string list;
        std::string missing;
        const TimesPresent present = timesPresent(test.curves, asked, test.plan.timeToleranceMin);
        std::size_t there = 0;
        for (std::size_t i = 0; i < asked.size(); ++i) {
            list += (i == 0 ? "" : ", ") + plainNumber(asked[i]);
            if (isNearEnough(present.with[i], present.curves)) {
                ++there;
            } else {
                missing += (missing.empty() ? "" : ", ") + plainNumber(asked[i]) + " min (" +
                           std::to_string(present.with[i]) + ")";
            }
        }
        auto& row = rows.add(*rules.sampleTimes, "sample_times", "Sampling times", list + " min");
        if (present.curves == 0) {
            leaveNotStated(row, "no glucose curve counts", "");
        } else {
            row.number = static_cast<double>(there);
            judgeRow(row, missing.empty(),
                     missing.empty()
                         ? "all in at least 90 % of " + countedWords(present.curves, "curve")
                         : "too few of " + countedWords(present.curves, "curve") + " have " + missing,
                     "say which times are missing; the area depends on them");
        }
    }
    if (rules.baseline) {
        const BaselineAsked& asked = rules.baseline->value;
        auto& row = rows.add(*rules.baseline, "baseline", "Baseline", std::string{asked.words});
        const FastingSamples found = fastingSamples(test.curves, asked.samples);
        const std::string rule =
            test.plan.baseline == BaselineRule::fastingMean ? "their mean" : "the one at 0 min alone";
        if (found.curves == 0) {
            leaveNotStated(row, "no glucose curve counts; the plan takes " + rule, "");
            return;
        }
        row.number = static_cast<double>(found.fewest);
        const bool sameRule = test.plan.baseline == asked.rule ||
                              (asked.rule == BaselineRule::timeZero && found.zeroAlone == found.curves);
        const bool enough = isNearEnough(found.withEnough, found.curves);
        const std::string range = found.fewest == found.most
                                      ? std::to_string(found.fewest)
                                      : std::to_string(found.fewest) + " to " + std::to_string(found.most);
        judgeRow(row, sameRule && enough, range + " at or before 0 min in a curve; the plan takes " + rule,
                 !sameRule ? "take the other baseline rule, or say which one was taken"
                           : "plan so many fasting samples, or say how many there were");
    }
}

}  // namespace aftercurve
