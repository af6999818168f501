#include "core/findings/tolerance_tests.h"

#include <map>

#include "core/findings/adjusted_p.h"

namespace aftercurve {

namespace {

/// Scores of one quantity by subject and arm.
using ByPlace = std::map<std::pair<std::string, std::size_t>, const DiaryScore*>;

ByPlace byPlace(const ToleranceFindings& findings, std::size_t quantity) {
    ByPlace places;
    for (const DiaryScore& score : findings.scores) {
        if (score.quantity == quantity) {
            places.emplace(std::pair{score.subject, score.arm}, &score);
        }
    }
    return places;
}

const DiaryScore* at(const ByPlace& places, const std::string& subject, std::size_t arm) {
    const auto found = places.find({subject, arm});
    return found == places.end() ? nullptr : found->second;
}

std::optional<double> valueOf(const DiaryScore* score, DiaryMeasure measure) {
    return score == nullptr ? std::nullopt : score->value(measure);
}

std::string reasonOf(const DiaryScore* score, DiaryMeasure measure, const std::string& label) {
    std::string reason = "excluded, or without a diary";
    if (score != nullptr) {
        reason = measure == DiaryMeasure::area && !score->areaAbsentBecause.empty() ? score->areaAbsentBecause
                                                                                    : score->absentBecause;
    }
    return label + ": " + reason;
}

ToleranceTest testOf(const Study& study, const Plan& plan, const ToleranceFindings& findings,
                     const ByPlace& places, ToleranceTest test) {
    std::vector<double> food;
    std::vector<double> comparator;
    const std::string foodLabel = armLabel(study, findings.runs.arms[test.arm]);
    const std::string comparatorLabel = armLabel(study, findings.runs.arms[test.comparator]);
    for (const Subject& subject : study.subjects) {
        const DiaryScore* a = at(places, subject.id, test.arm);
        const DiaryScore* b = at(places, subject.id, test.comparator);
        const auto one = valueOf(a, test.measure);
        const auto two = valueOf(b, test.measure);
        if (one && two) {
            food.push_back(*one);
            comparator.push_back(*two);
        } else if (a != nullptr || b != nullptr) {
            std::string reason = one ? "" : reasonOf(a, test.measure, foodLabel);
            if (!two) {
                reason += (reason.empty() ? "" : "; ") + reasonOf(b, test.measure, comparatorLabel);
            }
            test.leftOut.push_back({subject.id, std::move(reason)});
        }
    }
    const Differences differences = pairedDifferences(food, comparator);
    test.n = food.size();
    test.difference = pairedT(differences, plan.alpha);
    test.signedRank = signedRank(differences);
    test.hodgesLehmann = hodgesLehmann(differences, plan.alpha);
    test.signTest = signTest(differences, plan.alpha);
    test.superiority = pairedSuperiority(differences, plan.alpha);
    return test;
}

template <class Finding, class P>
void adjustFrom(std::vector<Finding>& all, std::size_t first, Multiplicity rule, P pOf) {
    std::vector<std::optional<double>> family;
    for (std::size_t i = first; i < all.size(); ++i) {
        family.push_back(pOf(all[i]));
    }
    family = adjustedP(rule, family);
    for (std::size_t i = first; i < all.size(); ++i) {
        all[i].pAdjusted = family[i - first];
    }
}

/// Foods with two arms or more, and the columns of their test.
std::vector<std::pair<std::string, std::vector<std::size_t>>> doseFamilies(
    const ToleranceFindings& findings) {
    std::vector<std::pair<std::string, std::vector<std::size_t>>> families;
    std::vector<std::size_t> ofComparator;
    for (std::size_t arm = 0; arm < findings.runs.arms.size(); ++arm) {
        const DiaryArm& one = findings.runs.arms[arm];
        if (one.food == findings.comparator) {
            ofComparator.push_back(arm);
        }
        if (!one.doseG) {
            continue;
        }
        if (families.empty() || families.back().first != one.food) {
            families.push_back({one.food, {}});
        }
        families.back().second.push_back(arm);
    }
    std::erase_if(families, [](const auto& family) { return family.second.size() < 2; });
    for (auto& [food, arms] : families) {
        if (ofComparator.size() == 1 && food != findings.comparator) {
            arms.insert(arms.begin(), ofComparator.front());
        }
    }
    return families;
}

bool yesOf(const DiaryScore& score, IncidenceCriterion criterion) {
    return (criterion == IncidenceCriterion::any ? score.any : score.marked).value_or(false);
}

bool asks(const DiaryQuantity& quantity, IncidenceCriterion criterion) {
    const bool scored =
        quantity.kind == DiaryQuantityKind::item || quantity.kind == DiaryQuantityKind::composite;
    return scored && (criterion == IncidenceCriterion::any || quantity.threshold);
}

ToleranceIncidence incidenceOf(const Study& study, const Plan& plan, const ToleranceFindings& findings,
                               const ByPlace& places, ToleranceIncidence incidence) {
    const auto comparator = comparatorArmOf(findings, incidence.arm);
    std::size_t yes = 0;
    std::size_t n = 0;
    YesNoPairs pairs;
    for (const Subject& subject : study.subjects) {
        const DiaryScore* one = at(places, subject.id, incidence.arm);
        if (one == nullptr || !one->any) {
            continue;
        }
        const bool says = yesOf(*one, incidence.criterion);
        ++n;
        yes += says ? 1U : 0U;
        incidence.noWithMissingDays += !says && one->scored < one->planned ? 1U : 0U;
        const DiaryScore* other = comparator ? at(places, subject.id, *comparator) : nullptr;
        if (other == nullptr || !other->any) {
            continue;
        }
        const bool saysOther = yesOf(*other, incidence.criterion);
        ++(says ? (saysOther ? pairs.both : pairs.foodOnly)
                : (saysOther ? pairs.comparatorOnly : pairs.neither));
    }
    incidence.share = exactShare(yes, n, plan.alpha);
    incidence.tested = comparator.has_value();
    if (incidence.tested) {
        incidence.test = mcNemar(pairs, plan.alpha);
    }
    return incidence;
}

}  // namespace

std::vector<ToleranceTest> toleranceTests(const Study& study, const Plan& plan,
                                          const ToleranceFindings& findings) {
    std::vector<ToleranceTest> tests;
    for (std::size_t q = 0; q < findings.quantities.size(); ++q) {
        const ByPlace places = byPlace(findings, q);
        for (const DiaryMeasure measure : measuresOf(findings.quantities[q].kind)) {
            const std::size_t first = tests.size();
            for (std::size_t arm = 0; arm < findings.runs.arms.size(); ++arm) {
                if (const auto comparator = comparatorArmOf(findings, arm)) {
                    ToleranceTest test;
                    test.quantity = q;
                    test.arm = arm;
                    test.comparator = *comparator;
                    test.measure = measure;
                    tests.push_back(testOf(study, plan, findings, places, std::move(test)));
                }
            }
            adjustFrom(tests, first, plan.multiplicity,
                       [](const ToleranceTest& test) { return test.signedRank.p; });
        }
    }
    return tests;
}

std::vector<ToleranceDoseTest> toleranceDoseTests(const Study& study, const Plan& plan,
                                                  const ToleranceFindings& findings) {
    std::vector<ToleranceDoseTest> tests;
    const auto families = doseFamilies(findings);
    FriedmanSettings settings;
    settings.alpha = plan.alpha;
    settings.comparator = 0;
    settings.multiplicity = wordFor(plan.multiplicity);
    for (std::size_t q = 0; q < findings.quantities.size(); ++q) {
        const ByPlace places = byPlace(findings, q);
        for (const DiaryMeasure measure : measuresOf(findings.quantities[q].kind)) {
            for (const auto& [food, arms] : families) {
                std::vector<FoodBlock> blocks;
                for (const Subject& subject : study.subjects) {
                    FoodBlock block;
                    block.subject = subject.id;
                    bool writes = false;
                    for (const std::size_t arm : arms) {
                        const DiaryScore* score = at(places, subject.id, arm);
                        writes = writes || score != nullptr;
                        block.value.push_back(valueOf(score, measure));
                    }
                    if (writes) {
                        blocks.push_back(std::move(block));
                    }
                }
                tests.push_back({q, measure, food, arms, friedman(blocks, arms.size(), settings)});
            }
        }
    }
    return tests;
}

std::vector<ToleranceIncidence> toleranceIncidence(const Study& study, const Plan& plan,
                                                   const ToleranceFindings& findings) {
    std::vector<ToleranceIncidence> all;
    for (std::size_t q = 0; q < findings.quantities.size(); ++q) {
        const ByPlace places = byPlace(findings, q);
        for (const IncidenceCriterion criterion : {IncidenceCriterion::any, IncidenceCriterion::marked}) {
            if (!asks(findings.quantities[q], criterion)) {
                continue;
            }
            const std::size_t first = all.size();
            for (std::size_t arm = 0; arm < findings.runs.arms.size(); ++arm) {
                ToleranceIncidence incidence;
                incidence.quantity = q;
                incidence.arm = arm;
                incidence.criterion = criterion;
                all.push_back(incidenceOf(study, plan, findings, places, std::move(incidence)));
            }
            adjustFrom(all, first, plan.multiplicity,
                       [](const ToleranceIncidence& one) { return one.test.p; });
        }
    }
    return all;
}

}  // namespace aftercurve
