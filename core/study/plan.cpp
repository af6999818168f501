#include "core/study/plan.h"

#include <array>

namespace aftercurve {

namespace {

template <class Rule>
struct Word {
    Rule rule;
    std::string_view word;
};

constexpr std::array baselineWords{Word<BaselineRule>{BaselineRule::fastingMean, "fasting-mean"},
                                   Word<BaselineRule>{BaselineRule::timeZero, "time-zero"}};
constexpr std::array missingWords{Word<MissingInteriorRule>{MissingInteriorRule::span, "span"},
                                  Word<MissingInteriorRule>{MissingInteriorRule::exclude, "exclude"}};
constexpr std::array multiplicityWords{Word<Multiplicity>{Multiplicity::none, "none"},
                                       Word<Multiplicity>{Multiplicity::holm, "holm"}};
constexpr std::array outlierWords{Word<IndexOutlierRule>{IndexOutlierRule::none, "none"},
                                  Word<IndexOutlierRule>{IndexOutlierRule::twoSdOnce, "2sd-once"}};

constexpr std::array timeBasisWords{Word<TimeBasis>{TimeBasis::actual, "actual"},
                                    Word<TimeBasis>{TimeBasis::nominal, "nominal"}};
constexpr std::array belowLimitWords{Word<BelowLimitRule>{BelowLimitRule::half, "loq/2"},
                                     Word<BelowLimitRule>{BelowLimitRule::limit, "loq"},
                                     Word<BelowLimitRule>{BelowLimitRule::exclude, "exclude"}};

template <class Words, class Rule>
std::string_view wordIn(const Words& words, Rule rule) {
    for (const auto& entry : words) {
        if (entry.rule == rule) {
            return entry.word;
        }
    }
    return {};
}

template <class Words>
auto ruleIn(const Words& words, std::string_view word) -> std::optional<decltype(words[0].rule)> {
    for (const auto& entry : words) {
        if (entry.word == word) {
            return entry.rule;
        }
    }
    return std::nullopt;
}

}  // namespace

std::vector<std::string> comparedMeasures(const Plan& plan) {
    std::vector<std::string> measures{plan.measure};
    measures.insert(measures.end(), plan.secondaryMeasures.begin(), plan.secondaryMeasures.end());
    return measures;
}

std::string_view wordFor(BaselineRule rule) {
    return wordIn(baselineWords, rule);
}
std::string_view wordFor(MissingInteriorRule rule) {
    return wordIn(missingWords, rule);
}
std::string_view wordFor(Multiplicity rule) {
    return wordIn(multiplicityWords, rule);
}
std::string_view wordFor(IndexOutlierRule rule) {
    return wordIn(outlierWords, rule);
}
std::string_view wordFor(TimeBasis rule) {
    return wordIn(timeBasisWords, rule);
}
std::string_view wordFor(BelowLimitRule rule) {
    return wordIn(belowLimitWords, rule);
}

std::optional<BaselineRule> baselineRuleFrom(std::string_view word) {
    return ruleIn(baselineWords, word);
}
std::optional<MissingInteriorRule> missingInteriorRuleFrom(std::string_view word) {
    return ruleIn(missingWords, word);
}
std::optional<Multiplicity> multiplicityFrom(std::string_view word) {
    return ruleIn(multiplicityWords, word);
}
std::optional<IndexOutlierRule> indexOutlierRuleFrom(std::string_view word) {
    return ruleIn(outlierWords, word);
}
std::optional<TimeBasis> timeBasisFrom(std::string_view word) {
    return ruleIn(timeBasisWords, word);
}
std::optional<BelowLimitRule> belowLimitRuleFrom(std::string_view word) {
    return ruleIn(belowLimitWords, word);
}

}  // namespace aftercurve
