#include "core/findings/json/json_parts.h"

namespace aftercurve {

namespace {

const char* sequenceWord(CrossoverSequence sequence) {
    return sequence == CrossoverSequence::ab ? "food-first" : "comparator-first";
}

Json effectJson(const CrossoverEffect& effect) {
    return {{"estimate", orNull(effect.estimate)},
            {"se", orNull(effect.se)},
            {"t", orNull(effect.t)},
            {"df", orNull(effect.df)},
            {"p", orNull(effect.p)},
            {"ci_low", orNull(effect.ciLow)},
            {"ci_high", orNull(effect.ciHigh)},
            {"absent_because", textOrNull(effect.absentBecause)}};
}

}  // namespace

Json crossoverJson(const CrossoverFinding& finding) {
    const Crossover& result = finding.result;
    return {{"analyte", finding.analyte},
            {"measure", finding.measure},
            {"unit", finding.unit},
            {"food", finding.food},
            {"comparator", finding.comparator},
            {"n_food_first", result.subjectsAb},
            {"n_comparator_first", result.subjectsBa},
            {"food_effect", effectJson(result.treatment)},
            {"period_effect", effectJson(result.period)},
            {"carry_over", effectJson(result.carryOver)},
            {"subjects", arrayOf(result.rows,
                                 [](const CrossoverRow& row) {
                                     return Json{
                                         {"subject", row.subject},  {"sequence", sequenceWord(row.sequence)},
                                         {"period_1", row.period1}, {"period_2", row.period2},
                                         {"sum", orNull(row.sum)},  {"difference", orNull(row.difference)}};
                                 })},
            {"left_out", arrayOf(result.leftOut,
                                 [](const CrossoverLeftOut& left) {
                                     return Json{{"subject", left.subject}, {"reason", left.reason}};
                                 })},
            {"note", textOrNull(result.note)}};
}

}  // namespace aftercurve
