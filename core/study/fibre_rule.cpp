#include "core/study/fibre_rule.h"

#include <cmath>

#include "core/base/words.h"

namespace aftercurve {

namespace {

constexpr int mostFigures = 6;
constexpr double finestStepG = 1e-6;
constexpr double coarsestStepG = 1e3;

constexpr Words<FibrePart, 8> partWords{{{FibrePart::insoluble, "insoluble"},
                                         {FibrePart::solubleHigh, "soluble-high"},
                                         {FibrePart::solubleLow, "soluble-low"},
                                         {FibrePart::resistantStarch1, "rs1"},
                                         {FibrePart::resistantStarch2, "rs2"},
                                         {FibrePart::resistantStarch3, "rs3"},
                                         {FibrePart::resistantStarch4, "rs4"},
                                         {FibrePart::fructans, "fructans"}}};

constexpr Words<FibreBasis, 3> basisWords{{{FibreBasis::hundredG, "100 g"},
                                           {FibreBasis::hundredKcal, "100 kcal"},
                                           {FibreBasis::serving, "serving"}}};

bool isLimit(double value) {
    return std::isfinite(value) && value > 0.0;
}

std::string faultOfStatement(const FibreStatementRule& statement) {
    if (statement.words.empty()) {
        return "a statement has no words";
    }
    if (statement.anyOf.empty()) {
        return "the statement '" + statement.words + "' has no amount";
    }
    for (const FibreThreshold& threshold : statement.anyOf) {
        if (!isLimit(threshold.atLeastG)) {
            return "an amount of the statement '" + statement.words + "' is not above 0";
        }
    }
    return {};
}

std::string faultOfStep(const FibreRoundingStep& step) {
    if (!std::isfinite(step.fromG) || step.fromG < 0.0) {
        return "a step of the rounding begins below 0";
    }
    const int ways =
        (step.nearestG != 0.0 ? 1 : 0) + (step.figures != 0 ? 1 : 0) + (step.words.empty() ? 0 : 1);
    if (ways != 1) {
        return "a step of the rounding needs one of nearest_g, figures and words";
    }
    if (step.nearestG != 0.0 && !(step.nearestG >= finestStepG && step.nearestG <= coarsestStepG)) {
        return "nearest_g of a step of the rounding is not from 0.000001 to 1000";
    }
    if (step.figures < 0 || step.figures > mostFigures) {
        return "figures of a step of the rounding is not from 1 to 6";
    }
    return {};
}

}  // namespace

std::string_view wordFor(FibrePart part) {
    return wordIn(partWords, part);
}

std::optional<FibrePart> fibrePartFrom(std::string_view word) {
    return valueIn(partWords, word);
}

std::string_view wordFor(FibreBasis basis) {
    return wordIn(basisWords, basis);
}

std::optional<FibreBasis> fibreBasisFrom(std::string_view word) {
    return valueIn(basisWords, word);
}

std::string faultOf(const FibreRule& rule) {
    if (rule.key.empty() || rule.title.empty()) {
        return "it has no key or no title";
    }
    if (rule.source.empty()) {
        return "it names no source";
    }
    if (rule.includes.empty()) {
        return "it does not say what fibre includes";
    }
    for (const FibreStatementRule& statement : rule.statements) {
        if (std::string fault = faultOfStatement(statement); !fault.empty()) {
            return fault;
        }
    }
    for (std::size_t i = 0; i < rule.rounding.size(); ++i) {
        if (std::string fault = faultOfStep(rule.rounding[i]); !fault.empty()) {
            return fault;
        }
        if (i > 0 && rule.rounding[i].fromG <= rule.rounding[i - 1].fromG) {
            return "the steps of the rounding do not ascend";
        }
    }
    if (!rule.rounding.empty() && (rule.rounding.front().fromG != 0.0 || rule.rounding.front().above)) {
        return "the steps of the rounding do not begin at 0";
    }
    return {};
}

}  // namespace aftercurve
