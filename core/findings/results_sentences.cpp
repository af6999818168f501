#include <algorithm>
#include <set>

#include "core/findings/conformity_findings.h"
#include "core/findings/evidence_findings.h"
#include "core/findings/fibre_words.h"
#include "core/findings/index_sentences.h"
#include "core/findings/laboratory_words.h"
#include "core/findings/narrative.h"
#include "core/findings/result_words.h"
#include "core/findings/rounded_words.h"
#include "core/findings/sentence.h"
#include "core/findings/sentence_rows.h"
#include "core/findings/tolerance_words.h"
#include "core/study/laboratory_exclusion.h"

namespace aftercurve {

namespace {

using Sources = std::vector<SentenceSource>;

/// What is written, and where the rows of the tables are.
struct Writing {
    const Study& study;
    const Findings& findings;
    SentenceRows rows;
    std::vector<Sentence> sentences = {};

    /// Nothing for an empty text.
    void add(std::string text, Sources sources) {
        if (!text.empty()) {
            sentences.push_back({std::move(text), std::move(sources)});
        }
    }
    void add(std::string text, const std::string& table, std::size_t row) {
        add(std::move(text), Sources{{table, row}});
    }
};

Sources together(Sources a, const Sources& b) {
    a.insert(a.end(), b.begin(), b.end());
    return a;
}

template <class Other, class Finding>
const Other* counterpart(const std::vector<Other>& list, const Finding& one) {
    const auto found = std::find_if(list.begin(), list.end(), [&one](const Other& other) {
        return other.analyte == one.analyte && other.measure == one.measure && other.food == one.food;
    });
    return found == list.end() ? nullptr : &*found;
}

void addFlow(Writing& w) {
    const StudyFlow& flow = w.findings.flow;
    if (flow.subjects == 0) {
        return;
    }
    std::string text = countedWords(flow.subjects, "subject") +
                       (flow.subjects == 1 ? " was on record; " : " were on record; ");
    if (flow.without > 0) {
        text += std::to_string(flow.without) + " had no visit; ";
    }
    text += std::to_string(flow.analysed) + (flow.analysed == 1 ? " was" : " were") +
            " analysed with at least one food and " + std::to_string(flow.complete) + " with every food.";
    w.add(text, w.rows.rows("flow", {"on_record", "without", "analysed", "complete"}));
    for (const FlowStage& stage : flow.stages) {
        w.add(flowSentence(w.study, stage),
              w.rows.rowsFrom("flow", "stage/" + stage.sequence + "/" + std::to_string(stage.period) + "/" +
                                          stage.food + "/"));
    }
}

void addSummaries(Writing& w) {
    const std::vector<std::string> measures = comparedMeasures(w.findings.plan);
    const auto& all = w.findings.summaries;
    for (const Analyte& analyte : w.study.analytes) {
        for (const std::string& measure : measures) {
            std::vector<FoodSummary> shown;
            Sources sources;
            for (std::size_t row = 0; row < all.size(); ++row) {
                if (all[row].analyte == analyte.id && all[row].measure == measure && all[row].mean) {
                    shown.push_back(all[row]);
                    sources.push_back({"summary", row});
                }
            }
            w.add(summarySentence(w.study, shown), std::move(sources));
        }
    }
}

void addComparisons(Writing& w) {
    const Findings& f = w.findings;
    for (std::size_t row = 0; row < f.comparisons.size(); ++row) {
        const ComparisonFinding& c = f.comparisons[row];
        w.add(comparisonSentence(w.study, f.plan, c), "comparisons", row);
        const std::string key = c.analyte + "/" + c.measure + "/" + c.food;
        w.add(companionSentence(f.plan, c, counterpart(f.companions.comparisons, c)),
              together({{"comparisons", row}},
                       w.rows.rows("companions",
                                   {key + "/permutation", key + "/bootstrap_bca", key + "/log_ratio"})));
    }
    for (const RankFinding& ranks : f.companions.ranks) {
        const std::string key = ranks.analyte + "/" + ranks.measure;
        w.add(ranksSentence(ranks), w.rows.rows("ranks", {key + "/chi_square", key + "/exact"}));
    }
    const std::size_t margins = f.companions.margins.size();
    for (std::size_t row = 0; row < margins; ++row) {
        w.add(marginSentence(w.study, f.plan, f.companions.margins[row]), "margins", row);
    }
    for (std::size_t i = 0; i < f.companions.nonInferiority.size(); ++i) {
        w.add(marginSentence(w.study, f.plan, f.companions.nonInferiority[i]), "margins", margins + i);
    }
}

void addModels(Writing& w) {
    const Plan& plan = w.findings.plan;
    for (const ModelFinding& model : w.findings.models) {
        const std::string key = model.analyte + "/" + model.measure;
        if (!model.fit.absentBecause.empty()) {
            w.add(modelSentence(model), w.rows.rows("model", {key}));
            continue;
        }
        w.add(modelSentence(model), w.rows.rowsFrom("model_terms", key + "/term/"));
        for (std::size_t i = 0; i < model.fit.differences.size(); ++i) {
            const ModelDifference& d = model.fit.differences[i];
            const bool asked = model.family.family == ModelFamily::allPairs || model.comparator.empty() ||
                               model.foods[d.minus] == model.comparator;
            if (asked) {
                w.add(modelDifferenceSentence(w.study, plan, model, i),
                      w.rows.rows("model", {key + "/" + model.foods[d.level] + "/" + model.foods[d.minus]}));
            }
        }
    }
    constexpr std::size_t effects = 3;  // rows of the table for each finding: food, period, carry-over
    for (std::size_t i = 0; i < w.findings.crossovers.size(); ++i) {
        w.add(crossoverSentence(w.study, plan, w.findings.crossovers[i]),
              {{"crossover", effects * i}, {"crossover", effects * i + 1}, {"crossover", effects * i + 2}});
    }
}

void addTimeCourses(Writing& w) {
    for (const TimeCourseFinding& finding : w.findings.timeCourses) {
        if (!finding.fit.absentBecause.empty()) {
            w.add(timeCourseSentence(finding), w.rows.rows("time_course", {finding.analyte + "/absent"}));
            continue;
        }
        std::vector<std::string> terms;
        for (const TimeCourseTerm& term : finding.fit.terms) {
            terms.push_back(finding.analyte + "/model/" + term.term);
        }
        w.add(timeCourseSentence(finding), w.rows.rows("time_course_tests", terms));
        for (std::size_t food = 0; food < finding.foods.size(); ++food) {
            w.add(
                timesSentence(w.study, w.findings.plan, finding, food),
                w.rows.rowsFrom("time_course", finding.analyte + "/difference/" + finding.foods[food] + "/"));
        }
    }
    for (std::size_t row = 0; row < w.findings.curvePartFindings.size(); ++row) {
        const CurvePartFinding& part = w.findings.curvePartFindings[row];
        if (!part.comparator.empty() || w.findings.plan.comparator.empty()) {
            w.add(partSentence(w.study, w.findings.plan, part), "sub_windows", row);
        }
    }
}

void addIndex(Writing& w) {
    const Findings& f = w.findings;
    for (std::size_t row = 0; row < f.index.size(); ++row) {
        w.add(indexSentence(w.study, f.plan, f.index[row]), "index", row);
    }
    for (std::size_t first = 0; first < f.indexWays.size();) {
        std::size_t last = first;
        Sources sources;
        while (last < f.indexWays.size() && f.indexWays[last].analyte == f.indexWays[first].analyte &&
               f.indexWays[last].food == f.indexWays[first].food) {
            sources.push_back({"index_ways", last++});
        }
        w.add(indexWaysSentence(w.study, std::span{f.indexWays}.subspan(first, last - first)),
              std::move(sources));
        first = last;
    }
    for (std::size_t row = 0; row < f.indexPairs.size(); ++row) {
        w.add(indexPairSentence(w.study, f.plan, f.indexPairs[row]), "index_pairs", row);
    }
    for (std::size_t row = 0; row < f.indexPortions.size(); ++row) {
        w.add(indexPortionSentence(w.study, f.plan, f.indexPortions[row]), "index_portions", row);
    }
    for (std::size_t row = 0; row < f.meals.size(); ++row) {
        w.add(mealSentence(w.study, f.plan, f.meals[row]),
              together({{"meals", row}}, w.rows.rowsFrom("meal_parts", "glucose/" + f.meals[row].food)));
    }
}

void addFoods(Writing& w) {
    const Findings& f = w.findings;
    const auto asked = [](const PortionFinding& p) {
        return p.availableCarbohydrateG || p.portionG || p.servings;
    };
    for (std::size_t row = 0; row < f.portions.size(); ++row) {
        if (asked(f.portions[row])) {
            const std::string& food = f.portions[row].food;
            w.add(portionSentence(w.study, f.plan, f.portions[row]),
                  together({{"portions", row}}, w.rows.rows("servings", {food})));
        }
    }
    for (std::size_t row = 0; row < f.insulinSummaries.size(); ++row) {
        const InsulinSummary& summary = f.insulinSummaries[row];
        if (!summary.comparator.empty() || f.plan.comparator.empty()) {
            w.add(insulinSentence(w.study, f.plan, summary), "insulin_summary", row);
        }
    }
    for (std::size_t row = 0; row < f.withinSubject.size(); ++row) {
        if (f.withinSubject[row].result.sd) {
            w.add(withinSubjectSentence(w.study, f.withinSubject[row]), "within_subject", row);
        }
    }
}

void addWithoutExclusions(Writing& w) {
    const Findings& f = w.findings;
    if (f.exclusionCount == 0) {
        return;
    }
    // The table has the comparisons first, then the indices, then what is of the laboratory.
    std::size_t first = 0;
    if (anyOfSubjects(w.study.exclusions)) {
        for (std::size_t row = 0; row < f.comparisons.size(); ++row) {
            if (const auto* other = counterpart(f.comparisonsIgnoringExclusions, f.comparisons[row])) {
                w.add(withoutExclusionsSentence(w.study, f.comparisons[row], *other), "exclusions_effect",
                      row);
            }
        }
        for (std::size_t i = 0; i < f.index.size(); ++i) {
            if (const auto* other = counterpart(f.indexIgnoringExclusions, f.index[i])) {
                w.add(withoutExclusionsSentence(w.study, f.index[i], *other), "exclusions_effect",
                      f.comparisons.size() + i);
            }
        }
        first = f.comparisons.size() + f.index.size();
    }
    for (std::size_t i = 0; i < f.laboratoryEffects.size(); ++i) {
        if (f.laboratoryEffects[i].changes()) {
            w.add(withoutExclusionsSentence(f.laboratoryEffects[i]), "exclusions_effect", first + i);
        }
    }
}

void addSensitivity(Writing& w) {
    const Table& table = w.rows.table("sensitivity");
    for (std::size_t i = 0; i < w.findings.sensitivity.size(); ++i) {
        const SensitivityFinding& finding = w.findings.sensitivity[i];
        // Its counts stand in the notes of the table, one a finding.
        w.add("Other choices tried, " + table.notes[i],
              w.rows.rowsFrom("sensitivity", finding.analyte + "/" + finding.food + "/"));
    }
}

void addAsked(Writing& w) {
    const Findings& f = w.findings;
    if (!f.conformity.empty()) {
        Sources sources;
        for (std::size_t row = 0; row < f.conformity.size(); ++row) {
            if (f.conformity[row].standard == f.plan.indexPlan.standard) {
                sources.push_back({"conformity", row});
            }
        }
        w.add(conformitySentence(w.study, f.conformity, f.plan), std::move(sources));
    }
    std::set<std::string> foods;
    for (const EvidenceFinding& finding : f.evidence) {
        if (foods.insert(finding.food).second) {
            Sources sources;
            for (std::size_t row = 0; row < f.evidence.size(); ++row) {
                if (f.evidence[row].food == finding.food) {
                    sources.push_back({"evidence", row});
                }
            }
            w.add(evidenceSentence(w.study, f.evidence, finding.food), std::move(sources));
        }
    }
    if (!f.evidence.empty()) {
        w.add(evidenceClosingSentence(), {});
    }
}

}  // namespace

std::vector<Sentence> resultsSentences(const Study& study, const Findings& findings) {
    Writing w{study, findings, SentenceRows{study, findings}};
    addFlow(w);
    addSummaries(w);
    addComparisons(w);
    addModels(w);
    addTimeCourses(w);
    addIndex(w);
    addFoods(w);
    addWithoutExclusions(w);
    addSensitivity(w);
    for (const std::vector<Sentence>& more :
         {digestionSentences(study, findings), fibreSentences(study, findings), bridgeResults(findings),
          toleranceResults(study, findings)}) {
        w.sentences.insert(w.sentences.end(), more.begin(), more.end());
    }
    addAsked(w);
    if (findings.comparisons.empty() && findings.index.empty()) {
        w.add("Curves were measured; no comparison and no index were asked for or possible.", {});
    }
    return std::move(w.sentences);
}

}  // namespace aftercurve
