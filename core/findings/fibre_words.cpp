#include "core/findings/fibre_words.h"

#include <string>

#include "core/base/number_text.h"
#include "core/fibre/fibre_rules.h"

namespace aftercurve {

namespace {

constexpr const char* resultsTable = "fibre_results";
constexpr const char* methodsTable = "fibre_methods";
constexpr const char* statementsTable = "fibre_statements";
constexpr const char* recipesTable = "recipes";

std::string grams(double value, int decimals = 1) {
    return fixedNumber(value, decimals) + " g";
}

std::string repeatabilityWords(const FibreResultFinding& result) {
    const RepeatabilityJudgement& judgement = result.repeatability;
    if (judgement.verdict == RepeatabilityVerdict::notJudged || !result.spread.range.value ||
        !judgement.limitLowG || !judgement.limitHighG) {
        return {};
    }
    std::string limit = grams(*judgement.limitLowG, 2);
    if (*judgement.limitLowG != *judgement.limitHighG) {
        limit +=
            " to " + grams(*judgement.limitHighG, 2) + ", from the most even to the most uneven material";
    }
    std::string text = "; the two determinations differ by " + grams(*result.spread.range.value, 2) + ", ";
    switch (judgement.verdict) {
        case RepeatabilityVerdict::within:
            text += "within";
            break;
        case RepeatabilityVerdict::between:
            text += "inside the range of";
            break;
        default:
            text += "beyond";
    }
    return text + " the repeatability limit (2.8 s_r: " + limit + "; " + judgement.source + ")";
}

Sentence resultSentence(const FibreResultFinding& result, std::size_t row) {
    Sentence sentence;
    sentence.sources = {{resultsTable, row}};
    std::string& text = sentence.text;
    text = "By " + result.method + (result.laboratory.empty() ? "" : " (" + result.laboratory + ")") + ", " +
           fibreFractionWords(result.fraction) + " of " + result.material;
    const bool dry = !result.asIsPer100g.value;
    const PortionValue& value = dry ? result.dryPer100g : result.asIsPer100g;
    if (!value.value) {
        text += " could not be told: " + value.absentBecause + ".";
        return sentence;
    }
    text += " was " + grams(*value.value) + (dry ? " in 100 g of dry matter" : " in 100 g as it is");
    if (result.spread.sd.value && result.spreadOnDry == dry) {
        text +=
            " (SD " + grams(*result.spread.sd.value, 2) + ", n = " + std::to_string(result.spread.n) + ")";
    } else {
        text += " (n = " + std::to_string(result.spread.n) + ")";
    }
    if (!dry && result.dryPer100g.value) {
        text += ", " + grams(*result.dryPer100g.value) + " in 100 g of dry matter";
    }
    text += repeatabilityWords(result);
    if (dry) {
        text += "; the fibre of the material as it is is not known, " + result.asIsPer100g.absentBecause;
    }
    text += ".";
    return sentence;
}

/// What a method that was used leaves out of the definition.
Sentence methodSentence(const FibreRule& rule, const FibreMethodFinding& method, std::size_t row) {
    Sentence sentence;
    sentence.sources = {{methodsTable, row}};
    const FibreSuitability& s = *method.suitability;
    std::string text = "Against the definition of the rule '" + rule.title + "', " + method.method;
    if (!s.givesTotal) {
        text += " gives no total fibre";
    } else if (s.measuresAll()) {
        text += " measures all parts that it includes";
    }
    if (!s.missed.empty() && s.givesTotal) {
        text += " does not measure " + labelsOf(s.missed);
    }
    if (!s.partly.empty() && s.givesTotal) {
        text += (s.missed.empty() ? " measures in part only " : " and measures in part only ") +
                labelsOf(s.partly);
    }
    if (!s.beyond.empty() && s.givesTotal) {
        text += "; it also counts " + labelsOf(s.beyond) + ", which is left to the national authority";
    }
    if (s.named) {
        text += "; the rule names the method";
    }
    sentence.text = text + ".";
    return sentence;
}

void addLabels(const FibreFindings& findings, std::vector<Sentence>& sentences) {
    std::size_t row = 0;
    for (const FibreLabelFinding& label : findings.labels) {
        Sentence sentence;
        std::string met;
        std::string open;
        for (std::size_t s = 0; s < label.statements.size(); ++s) {
            sentence.sources.push_back({statementsTable, row + s});
            const std::string words = "'" + findings.rule->statements[s].words + "'";
            if (label.statements[s].answer == StatementAnswer::met) {
                met += (met.empty() ? "" : " and ") + words + " (" + label.statements[s].needed + ")";
            } else if (label.statements[s].answer == StatementAnswer::notKnown) {
                open += (open.empty() ? "" : " and ") + words + " (" + label.statements[s].because + ")";
            }
        }
        // One row for each statement, and one for the declared amount.
        row += label.statements.size() + 1;
        if (label.statements.empty()) {
            continue;
        }
        std::string text = label.subject + ", " + label.state + ": ";
        if (!met.empty()) {
            text += "the numbers meet " + met + " by the rule '";
        } else if (open.empty()) {
            text += "the numbers meet none of the statements of the rule '";
        } else {
            text += "the numbers are not known to meet a statement of the rule '";
        }
        text += findings.rule->title + "'";
        if (!open.empty()) {
            text += "; not known: " + open;
        }
        sentence.text = text + ".";
        sentences.push_back(std::move(sentence));
    }
}

std::string servingsWords(const RecipeContents& contents, const std::optional<double>& targetG) {
    if (!targetG || !contents.servings.whole) {
        return {};
    }
    return ", so that " + grams(*targetG) + " take " + plainNumber(*contents.servings.whole) +
           (*contents.servings.whole == 1.0 ? " serving" : " servings");
}

Sentence recipeSentence(const FibreFindings& findings, const RecipeFinding& recipe, std::size_t row) {
    Sentence sentence;
    sentence.sources = {{recipesTable, row}};
    const auto fibreOf = [&findings](const RecipeContents& contents) {
        if (!contents.fibre.per100g.value) {
            return "an amount of fibre that is not known (" + contents.fibre.per100g.absentBecause + ")";
        }
        std::string text = grams(*contents.fibre.per100g.value) + " of fibre in 100 g";
        if (contents.fibre.perServing.value) {
            text += " and " + grams(*contents.fibre.perServing.value) + " in a serving";
        }
        return text + servingsWords(contents, findings.targetG);
    };
    sentence.text = recipe.label + " holds " + fibreOf(recipe.before);
    if (recipe.after) {
        sentence.sources.push_back({recipesTable, row + 1});
        sentence.text += "; with " + recipe.replacement + " it holds " + fibreOf(*recipe.after);
    }
    sentence.text += ".";
    return sentence;
}

}  // namespace

std::string fibreFractionWords(const std::string& fraction) {
    return fraction == "total"              ? "total fibre"
           : fraction == "resistant-starch" ? "resistant starch"
                                            : fraction;
}

std::vector<Sentence> fibreSentences(const Study& /*study*/, const Findings& all) {
    const FibreFindings& findings = all.fibre;
    std::vector<Sentence> sentences;
    for (std::size_t i = 0; i < findings.results.size(); ++i) {
        sentences.push_back(resultSentence(findings.results[i], i));
    }
    for (std::size_t i = 0; i < findings.methods.size(); ++i) {
        if (findings.rule && findings.methods[i].used && findings.methods[i].suitability) {
            sentences.push_back(methodSentence(*findings.rule, findings.methods[i], i));
        }
    }
    for (const FibreDisagreement& one : findings.disagreements) {
        sentences.push_back({one.text, {{resultsTable, one.one}, {resultsTable, one.other}}});
    }
    std::size_t row = 0;
    for (const RecipeFinding& recipe : findings.recipes) {
        sentences.push_back(recipeSentence(findings, recipe, row));
        row += recipe.after ? 2U : 1U;
    }
    if (findings.rule && !findings.labels.empty()) {
        addLabels(findings, sentences);
        Sentence closing{"Numbers that meet a statement do not permit it: the authority decides (" +
                             std::string{checkWithAuthority} +
                             "; source of the rule: " + findings.rule->source + ").",
                         {}};
        for (const Sentence& sentence : sentences) {
            for (const SentenceSource& source : sentence.sources) {
                if (source.table == statementsTable) {
                    closing.sources.push_back(source);
                }
            }
        }
        sentences.push_back(std::move(closing));
    }
    return sentences;
}

}  // namespace aftercurve
