#include "core/index/index_standards.h"

#include <array>
#include <cassert>
#include <cmath>

namespace aftercurve {

namespace {

constexpr std::string_view memory = "from memory";
constexpr std::string_view isoSummary = "a public summary of ISO 26642 (tnlab.org)";
constexpr std::string_view isoSummaryAndExcerpt =
    "a public summary (tnlab.org) and an excerpt of BS ISO 26642 (yufaxiti.cn)";
constexpr std::string_view isoExcerpt = "an excerpt of BS ISO 26642 (yufaxiti.cn)";
constexpr std::string_view isoContents =
    "what is told of ISO 26642's Annex C: 1 test, 3 reference replicates";
constexpr std::string_view tables2021 = "Atkinson et al. 2021, supplement";
constexpr std::string_view wstDefinitions = "WS/T 652-2019, definitions";
constexpr std::string_view faoText = "FAO Food and Nutrition Paper 66 (1998), chapter 4";
constexpr std::string_view asMemory = "from memory: the same method as ISO 26642, which grew out of AS 4694";
constexpr std::string_view byDefinition = "from memory: the definition of the index";

constexpr std::array<double, 7> sevenTimes{0.0, 15.0, 30.0, 45.0, 60.0, 90.0, 120.0};
constexpr std::span<const double> times{sevenTimes};

constexpr std::string_view positiveArea = "area_positive_incremental";
constexpr std::string_view healthy =
    "healthy people; without diabetes or drugs for it, a major event with hospital stay within 3 months, "
    "disease or drugs that alter digestion or absorption, steroids, protease inhibitors, antipsychotics, or "
    "an allergy to the food";
constexpr BaselineAsked twoFasting{BaselineRule::fastingMean, 2,
                                   "the mean of two fasting samples, at −5 and 0 min"};
constexpr BaselineAsked zeroAlone{BaselineRule::timeZero, 1, "the value at 0 min"};

constexpr ClassLimitsAsked isoClasses{true, 55.0, 70.0,
                                      "of the whole number: low to 55, medium 56 to 70, high above 70"};
constexpr ClassLimitsAsked asClasses{true, 55.0, 69.0,
                                     "of the whole number: low to 55, medium 56 to 69, high from 70"};
constexpr ClassLimitsAsked wstClasses{
    false, 55.0, 70.0, "of the value, not rounded: low to 55, medium above 55 to 70, high above 70"};

template <class T>
constexpr RuleAsks<T> readIn(T value, std::string_view source, std::string_view clause = {}) {
    return {value, source, RuleBasis::read, clause};
}

template <class T>
constexpr RuleAsks<T> recalled(T value, std::string_view source = memory, std::string_view clause = {}) {
    return {value, source, RuleBasis::fromMemory, clause};
}

IndexStandardRules iso26642() {
    IndexStandardRules r;
    r.standard = IndexStandard::iso26642;
    r.title = "ISO 26642";
    r.citation =
        "ISO 26642:2010, Food products — Determination of the glycaemic index (GI) and recommendation for "
        "food classification";
    r.fewestSubjects = readIn(std::size_t{10}, isoSummaryAndExcerpt, "5.3");
    r.healthCriteria = readIn(healthy, isoExcerpt, "5.3");
    r.referenceTests = readIn(ReferenceTestsAsked{2, 3}, isoSummary);
    r.testTests = readIn(std::size_t{1}, isoContents, "Annex C");
    r.portion = readIn(PortionAsked{50.0, 25.0, false}, tables2021);
    r.equalCarbohydrate = recalled(true, byDefinition);
    r.fewestCarbohydrateG = recalled(10.0);
    r.referenceFood = readIn(ReferenceFoodAsked{"glucose, with the value 100", 100.0, false}, isoSummary);
    r.sampleTimes =
        readIn(times, "a public summary of ISO 26642 (tnlab.org); Atkinson et al. 2021, supplement");
    r.baseline = recalled(twoFasting);
    r.window = readIn(WindowAsked{120.0, false}, isoSummary);
    r.areaMeasure = readIn(positiveArea, isoSummary);
    r.referenceCvPercent =
        recalled(30.0, "from memory for ISO 26642; the figure itself: Wolever 2003 and 2008, abstracts");
    r.analyserCvPercent = readIn(3.6, tables2021);
    r.outlierSds = recalled(2.0);
    r.fastHours = recalled(10.0);
    r.eatingMinutes = recalled(15.0, "from memory: 12 to 15 min");
    r.specimen = recalled(std::string_view{"capillary"});
    r.rounding = readIn(std::string_view{"mean ± SEM of the subjects, as a whole number"}, isoSummary);
    r.classes = readIn(isoClasses, isoSummary);
    return r;
}

IndexStandardRules fao1998() {
    IndexStandardRules r;
    r.standard = IndexStandard::fao1998;
    r.title = "FAO/WHO 1998";
    r.citation = "FAO/WHO, Carbohydrates in human nutrition, FAO Food and Nutrition Paper 66, Rome 1998";
    r.fewestSubjects = recalled(std::size_t{6}, memory, "chapter 4");
    r.referenceTests = recalled(ReferenceTestsAsked{3, std::nullopt}, memory, "chapter 4, Table 1");
    r.testTests = recalled(std::size_t{1}, memory, "chapter 4, Table 1");
    r.portion = readIn(PortionAsked{50.0, std::nullopt, false}, faoText, "title of Table 1");
    r.equalCarbohydrate = recalled(true, byDefinition);
    r.referenceFood = recalled(ReferenceFoodAsked{"glucose or white bread, with the value 100", 100.0, true},
                               memory, "chapter 4");
    r.sampleTimes = recalled(times, memory, "chapter 4, Table 1");
    r.baseline = recalled(zeroAlone, memory, "chapter 4");
    r.window = recalled(WindowAsked{120.0, false}, memory, "chapter 4, Table 1");
    r.areaMeasure = readIn(positiveArea, faoText, "Figure 2");
    return r;
}

IndexStandardRules wst652() {
    IndexStandardRules r;
    r.standard = IndexStandard::wst652;
    r.title = "WS/T 652";
    r.citation = "WS/T 652-2019, Standard for determination of food glycemic index (China)";
    r.fewestSubjects = recalled(std::size_t{10}, "from memory, weakly: 12 enrolled, 10 valid");
    r.referenceTests = recalled(ReferenceTestsAsked{2, std::nullopt}, "from memory, weakly");
    r.testTests = recalled(std::size_t{1}, "from memory, weakly");
    r.portion = readIn(PortionAsked{50.0, std::nullopt, true}, wstDefinitions, "2.4");
    r.equalCarbohydrate = recalled(true, byDefinition);
    r.referenceFood =
        readIn(ReferenceFoodAsked{"usually glucose, with the value 100", 100.0, true}, wstDefinitions, "2.6");
    r.window = readIn(WindowAsked{120.0, true}, wstDefinitions, "2.4");
    r.areaMeasure = recalled(positiveArea,
                             "from memory; that appendix C gives the calculation was read, its text was not",
                             "appendix C");
    r.classes = recalled(wstClasses);
    return r;
}

IndexStandardRules as4694() {
    IndexStandardRules r;
    r.standard = IndexStandard::as4694;
    r.title = "AS 4694";
    r.citation = "AS 4694-2007, Glycemic index of foods (Australia)";
    r.fewestSubjects = recalled(std::size_t{10}, asMemory);
    r.healthCriteria = recalled(std::string_view{"healthy people"}, asMemory);
    r.referenceTests = recalled(ReferenceTestsAsked{2, 3}, asMemory);
    r.testTests = recalled(std::size_t{1}, asMemory);
    r.portion = recalled(PortionAsked{50.0, 25.0, false}, asMemory);
    r.equalCarbohydrate = recalled(true, byDefinition);
    r.fewestCarbohydrateG = recalled(10.0, asMemory);
    r.referenceFood = recalled(ReferenceFoodAsked{"glucose, with the value 100", 100.0, false}, asMemory);
    r.sampleTimes = recalled(times, asMemory);
    r.baseline = recalled(twoFasting, asMemory);
    r.window = recalled(WindowAsked{120.0, false}, asMemory);
    r.areaMeasure = recalled(positiveArea, asMemory);
    r.referenceCvPercent = recalled(30.0, asMemory);
    r.outlierSds = recalled(2.0, asMemory);
    r.fastHours = recalled(10.0, asMemory);
    r.eatingMinutes = recalled(15.0, asMemory);
    r.specimen = recalled(std::string_view{"capillary"}, asMemory);
    r.rounding = recalled(std::string_view{"mean ± SEM of the subjects, as a whole number"}, asMemory);
    r.classes = recalled(asClasses);
    return r;
}

}  // namespace

std::string_view wordFor(RuleBasis basis) {
    return basis == RuleBasis::read ? "read" : "from memory";
}

std::span<const IndexStandardRules> indexStandards() {
    static const std::array rules{iso26642(), fao1998(), wst652(), as4694()};
    return rules;
}

const IndexStandardRules& rulesOf(IndexStandard standard) {
    for (const IndexStandardRules& rules : indexStandards()) {
        if (rules.standard == standard) {
            return rules;
        }
    }
    assert(false);
    return indexStandards().front();
}

std::string indexClass(IndexStandard standard, double index) {
    const auto& classes = rulesOf(standard).classes;
    if (!classes || !std::isfinite(index)) {
        return {};
    }
    const ClassLimitsAsked& limits = classes->value;
    const double value = limits.wholeNumber ? std::round(index) : index;  // half away from zero
    if (value <= limits.lowTo) {
        return "low";
    }
    return value <= limits.mediumTo ? "medium" : "high";
}

std::string_view indexClassWords(IndexStandard standard) {
    const auto& classes = rulesOf(standard).classes;
    return classes ? classes->value.words : std::string_view{};
}

}  // namespace aftercurve
