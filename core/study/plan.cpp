#include "core/study/plan.h"

#include "core/base/words.h"

namespace aftercurve {

namespace {

constexpr Words<BaselineRule, 2> baselineWords{
    {{BaselineRule::fastingMean, "fasting-mean"}, {BaselineRule::timeZero, "time-zero"}}};
constexpr Words<MissingInteriorRule, 2> missingWords{
    {{MissingInteriorRule::span, "span"}, {MissingInteriorRule::exclude, "exclude"}}};
constexpr Words<Multiplicity, 4> multiplicityWords{{{Multiplicity::none, "none"},
                                                    {Multiplicity::holm, "holm"},
                                                    {Multiplicity::hochberg, "hochberg"},
                                                    {Multiplicity::benjaminiHochberg, "benjamini-hochberg"}}};
constexpr Words<IndexOutlierRule, 3> outlierWords{{{IndexOutlierRule::none, "none"},
                                                   {IndexOutlierRule::twoSdOnce, "2sd-once"},
                                                   {IndexOutlierRule::twoSdRepeated, "2sd-repeated"}}};
constexpr Words<TimeBasis, 2> timeBasisWords{
    {{TimeBasis::actual, "actual"}, {TimeBasis::nominal, "nominal"}}};
constexpr Words<BelowLimitRule, 3> belowLimitWords{
    {{BelowLimitRule::half, "loq/2"}, {BelowLimitRule::limit, "loq"}, {BelowLimitRule::exclude, "exclude"}}};

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
    return valueIn(baselineWords, word);
}
std::optional<MissingInteriorRule> missingInteriorRuleFrom(std::string_view word) {
    return valueIn(missingWords, word);
}
std::optional<Multiplicity> multiplicityFrom(std::string_view word) {
    return valueIn(multiplicityWords, word);
}
std::optional<IndexOutlierRule> indexOutlierRuleFrom(std::string_view word) {
    return valueIn(outlierWords, word);
}
std::optional<TimeBasis> timeBasisFrom(std::string_view word) {
    return valueIn(timeBasisWords, word);
}
std::optional<BelowLimitRule> belowLimitRuleFrom(std::string_view word) {
    return valueIn(belowLimitWords, word);
}

}  // namespace aftercurve
