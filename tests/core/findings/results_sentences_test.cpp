// Every number of every sentence stands, rounded, in a row that the sentence names.
#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include <cmath>
#include <map>
#include <random>
#include <regex>
#include <set>

#include "core/base/number_text.h"
#include "core/digest/hydrolysis.h"
#include "core/files/study_folder.h"
#include "core/findings/analyse.h"
#include "core/findings/sentence.h"
#include "core/findings/sentence_rows.h"
#include "core/findings/table.h"
#include "core/index/index_standards.h"
#include "tests/support/feeding_study.h"
#include "tests/support/study_builder.h"

namespace aftercurve {

using testing::HasSubstr;
using testing::IsEmpty;
using testing::Not;

namespace {

struct Analysed {
    Study study;
    Findings findings;
};

Analysed analysed(Study study) {
    auto findings = analyse(study, study.plan);
    EXPECT_TRUE(findings.ok()) << (findings.ok() ? "" : findings.problem().what);
    return {std::move(study), std::move(findings).value()};
}

struct Number {
    double value = 0.0;
    int decimals = 0;
    char bound = '=';  ///< '<' or '>' before it
};

const std::regex& numberPattern() {
    static const std::regex pattern{R"(([<>]? ?)(-?)(\d+(?:\.(\d+))?)(?:e(-?\+?\d+))?)"};
    return pattern;
}

/// Numbers of a text in their order; a minus of typography counts as one.
std::vector<Number> numbersIn(std::string text) {
    for (std::size_t at = text.find("−"); at != std::string::npos; at = text.find("−", at)) {
        text.replace(at, std::string{"−"}.size(), "-");
    }
    std::vector<Number> numbers;
    for (std::sregex_iterator it{text.begin(), text.end(), numberPattern()}, end; it != end; ++it) {
        const std::smatch& match = *it;
        Number number;
        const int exponent = match[5].matched ? std::stoi(match[5].str()) : 0;
        number.value = std::stod(match[2].str() + match[3].str()) * std::pow(10.0, exponent);
        number.decimals = static_cast<int>(match[4].length()) - exponent;
        const std::string sign = match[1].str();
        number.bound = sign.starts_with('<') ? '<' : sign.starts_with('>') ? '>' : '=';
        numbers.push_back(number);
    }
    return numbers;
}

/// What the rows of a sentence hold.
struct Held {
    std::vector<double> values;
    std::set<double> inTexts;  ///< numbers in cells of words and in notes, and counts of rows
};

void holdTexts(Held& held, const std::string& text) {
    for (const Number& number : numbersIn(text)) {
        held.inTexts.insert(std::abs(number.value));
    }
}

/// Settings, published constants and counts that stand in sentences on assays, fibre and diaries.
void holdLaboratory(Held& held, const Analysed& a) {
    const AssayData& assays = a.study.assays;
    for (const double setting :
         {assays.rapidCutMin, assays.slowCutMin, assays.lastMin, static_cast<double>(assays.samples.size()),
          a.findings.digestion.untilMin.value_or(0.0)}) {
        held.inTexts.insert(setting);
    }
    for (const IndexEquation& equation : indexEquations()) {
        holdTexts(held, std::string{equation.words});
        holdTexts(held, std::string{equation.source});
    }
    held.inTexts.insert(2.8);  // r = 2.8 s_r
    if (a.findings.fibre.rule) {
        holdTexts(held, a.findings.fibre.rule->source);
    }
    double planned = 0.0;
    double missing = 0.0;
    for (const DiaryRun& run : a.findings.tolerance.runs.runs) {
        planned += static_cast<double>(run.planned());
        missing += static_cast<double>(run.missing.size());
    }
    held.inTexts.insert({planned, missing, planned - missing});
}

Held heldBy(const Sentence& sentence, const Analysed& a, SentenceRows& tables) {
    Held held;
    std::map<std::string, std::size_t> rows;
    std::map<std::string, std::size_t> byStatus;
    for (const SentenceSource& source : sentence.sources) {
        const Table& table = tables.table(source.table);
        EXPECT_LT(source.row, table.rows.size()) << sentence.text;
        ++rows[source.table];
        for (const Cell& cell : table.rows.at(source.row).cells) {
            if (const auto* number = std::get_if<double>(&cell)) {
                held.values.push_back(*number);
            } else if (const auto* count = std::get_if<std::int64_t>(&cell)) {
                held.values.push_back(static_cast<double>(*count));
            } else if (const auto* text = std::get_if<std::string>(&cell)) {
                holdTexts(held, *text);
            }
        }
        for (const std::string& note : table.notes) {
            holdTexts(held, note);
        }
        for (std::size_t c = 0; c < table.columns.size(); ++c) {
            if (table.columns[c].key == "status") {
                ++byStatus[std::get<std::string>(table.rows[source.row].cells[c])];
            }
        }
    }
    for (const auto& counts : {rows, byStatus}) {
        for (const auto& [name, count] : counts) {
            held.inTexts.insert(static_cast<double>(count));
        }
    }
    if (!byStatus.empty()) {
        held.inTexts.insert(0.0);  // no row of some status
    }
    const Plan& plan = a.findings.plan;
    for (const double share : {plan.alpha, 2.0 * plan.alpha}) {
        held.inTexts.insert(share);
        holdTexts(held, confidencePercent(share));
    }
    held.inTexts.insert(100.0);  // the index of the reference food
    holdLaboratory(held, a);
    held.inTexts.insert(plan.indexPlan.matchTolerancePercent);
    holdTexts(held, std::string{rulesOf(plan.indexPlan.standard).title});
    return held;
}

bool stands(const Number& number, const Held& held) {
    const double half = 0.5 * std::pow(10.0, -number.decimals) * (1.0 + 1e-9);
    for (const double value : held.values) {
        if (number.bound == '<'   ? value < number.value
            : number.bound == '>' ? value > number.value
                                  : std::abs(std::abs(value) - std::abs(number.value)) <= half) {
            return true;
        }
    }
    return held.inTexts.contains(std::abs(number.value));
}

/// The numbers of a sentence that no row of it holds, as text.
std::string untraced(const Sentence& sentence, const Analysed& a, SentenceRows& tables) {
    const Held held = heldBy(sentence, a, tables);
    std::string text;
    for (const Number& number : numbersIn(sentence.text)) {
        text += stands(number, held) ? "" : plainNumber(number.value) + " ";
    }
    return text;
}

void expectTraced(const Analysed& a) {
    SentenceRows tables{a.study, a.findings};
    for (const Sentence& sentence : resultsSentences(a.study, a.findings)) {
        EXPECT_THAT(untraced(sentence, a, tables), IsEmpty()) << sentence.text;
        if (!numbersIn(sentence.text).empty()) {
            EXPECT_THAT(sentence.sources, Not(IsEmpty())) << sentence.text;
        }
        EXPECT_THAT(sentence.text, Not(HasSubstr("no difference")));
        EXPECT_THAT(sentence.text, Not(HasSubstr("p = 0.000")));
        EXPECT_THAT(sentence.text, Not(HasSubstr("nan")));
        EXPECT_TRUE(sentence.text.ends_with('.')) << sentence.text;
    }
}

/// A study with gaps: foods, subjects and visits at random, some values missing, some subjects without a
/// food.
Study randomStudy(unsigned seed) {
    std::mt19937 random{seed};
    const auto below = [&random](unsigned n) { return static_cast<unsigned>(random() % n); };
    test::StudyBuilder builder;
    const std::vector<std::string> foods{"bread", "oats", "kelp"};
    const std::size_t count = 2 + below(2);
    for (std::size_t f = 0; f < count; ++f) {
        builder.food(foods[f], f == 0 ? FoodRole::reference : FoodRole::test);
    }
    builder.analyte("glucose", "mmol/L");
    const unsigned subjects = 1 + below(7);
    for (unsigned s = 0; s < subjects; ++s) {
        for (std::size_t f = 0; f < count; ++f) {
            for (int visit = 1; visit <= (f == 0 ? 2 : 1); ++visit) {
                if (below(8) == 0) {
                    continue;
                }
                std::vector<std::optional<double>> values;
                for (const double rise : {0.0, 0.0, 2.0, 3.0, 1.5, 0.2}) {
                    values.emplace_back(below(40) == 0 ? std::nullopt
                                                       : std::optional{5.0 + rise + 0.01 * below(150)});
                }
                builder.curve("S" + std::to_string(s + 1), foods[f], visit, {-5, 0, 30, 60, 90, 120}, values);
            }
        }
    }
    Study study = builder.study();
    study.plan.resamples = 199;
    study.plan.multiplicity = below(2) == 0 ? Multiplicity::none : Multiplicity::hochberg;
    study.plan.inference.margins = {"", -60.0, 60.0, 0.5, 2.0, 80.0, BetterValue::lower};
    if (below(2) == 0 && !study.subjects.empty()) {
        Exclusion exclusion;
        exclusion.subject = study.subjects.front().id;
        exclusion.food = "oats";
        exclusion.reason = "fever of 38.4 degrees";
        study.exclusions = {exclusion};
    }
    return study;
}

}  // namespace

TEST(ResultsSentences, EveryNumberStandsInARowOfTheSentence) {
    for (const char* name :
         {"barley-index", "pulse-wafer-crossover", "seaweed-bread-breakfast", "kelp-barley-crisps"}) {
        SCOPED_TRACE(name);
        auto reading = readStudyFolder(std::string{TEST_SOURCE_ROOT} + "/sample_studies/" + name);
        ASSERT_TRUE(reading.study);
        reading.study->plan.resamples = 499;
        expectTraced(analysed(*reading.study));
    }
    Study feeding = test::FeedingStudy(8).study;
    feeding.plan.resamples = 199;
    expectTraced(analysed(feeding));
}

TEST(ResultsSentences, EveryNumberOfRandomStudiesStandsInARow) {
    for (unsigned seed = 1; seed <= 60; ++seed) {
        SCOPED_TRACE(seed);
        Study study = randomStudy(seed);
        if (!study.draws.empty()) {
            expectTraced(analysed(std::move(study)));
        }
    }
}

TEST(ResultsSentences, AnAlteredNumberIsFound) {
    Study study = test::FeedingStudy(6).study;
    study.plan.resamples = 0;
    const Analysed a = analysed(study);
    SentenceRows tables{a.study, a.findings};
    std::size_t altered = 0;
    for (Sentence sentence : resultsSentences(a.study, a.findings)) {
        const std::size_t at = sentence.text.find(" CI ");
        if (at != std::string::npos) {
            sentence.text.insert(at + 4, "987654.25 to ");
            EXPECT_EQ(untraced(sentence, a, tables), "987654.25 ");
            ++altered;
        }
    }
    EXPECT_GT(altered, 2U);
}

TEST(ResultsSentences, OneSubjectIsToldWithoutATest) {
    test::StudyBuilder builder;
    builder.food("bread", FoodRole::control).food("oats", FoodRole::test).analyte("glucose", "mmol/L");
    builder.curve("1", "bread", 1, {0, 30, 60, 120}, {5, 8, 5, 5});
    builder.curve("1", "oats", 1, {0, 30, 60, 120}, {5, 7, 5, 5});
    const Analysed a = analysed(builder.study());
    const auto sentences = resultsSentences(a.study, a.findings);
    ASSERT_GE(sentences.size(), 3U);
    EXPECT_EQ(sentences[0].text,
              "1 subject was on record; 1 was analysed with at least one food and 1 with every food.");
    // Areas of the triangles over the baseline of 5: 3 · 60 / 2 = 90, and 2 · 60 / 2 = 60.
    EXPECT_EQ(sentences[1].text,
              "Mean glucose incremental area was 90.00 mmol/L × min (n = 1) after Label of bread and 60.00 "
              "mmol/L × min (n = 1) after Label of oats.");
    EXPECT_THAT(sentences[2].text, HasSubstr("in 1 subject; it could not be tested"));
    expectTraced(a);
}

TEST(ResultsSentences, LabelsStandAsTheyAre) {
    test::StudyBuilder builder;
    builder.food("bread", FoodRole::control).food("oats", FoodRole::test).analyte("glucose", "mmol/L");
    for (const char* subject : {"1", "2", "3"}) {
        builder.curve(subject, "bread", 1, {0, 30, 60, 120}, {5, 8, 5, 5});
        builder.curve(subject, "oats", 1, {0, 30, 60, 120}, {5, subject[0] == '1' ? 7 : 6.5, 5, 5});
    }
    builder.study().foods[1].label = "<b>Oats</b> & $x_1$ \\LaTeX %";
    const Analysed a = analysed(builder.study());
    std::string all;
    for (const Sentence& sentence : resultsSentences(a.study, a.findings)) {
        all += sentence.text;
    }
    EXPECT_THAT(all, HasSubstr("after <b>Oats</b> & $x_1$ \\LaTeX %"));
    EXPECT_THAT(all, Not(HasSubstr("&lt;")));
}

TEST(ResultsSentences, WithoutComparisonAndIndexThatIsSaid) {
    test::StudyBuilder builder;
    builder.food("bread", FoodRole::test).analyte("glucose", "mmol/L");
    builder.curve("1", "bread", 1, {0, 30, 60, 120}, {5, 8, 5, 5});
    const Analysed a = analysed(builder.study());
    ASSERT_THAT(a.findings.comparisons, IsEmpty());
    EXPECT_THAT(resultsSentences(a.study, a.findings).back().text,
                HasSubstr("no comparison and no index were asked for or possible"));
}

}  // namespace aftercurve
