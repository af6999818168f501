#include <algorithm>

#include "core/base/number_text.h"
#include "core/fibre/fibre_rules.h"
#include "core/files/excerpt.h"
#include "core/findings/fibre_findings.h"

namespace aftercurve {

namespace {

Problem problemOf(Severity severity, std::string what, std::string remedy) {
    Problem p;
    p.severity = severity;
    p.check = "fibre";
    p.what = std::move(what);
    p.remedy = std::move(remedy);
    return p;
}

Problem inStudyJson(Severity severity, std::string column, std::string what, std::string remedy) {
    Problem p = problemOf(severity, std::move(what), std::move(remedy));
    p.file = "study.json";
    p.column = std::move(column);
    return p;
}

Problem at(const FibreResultFinding& result, Severity severity, const char* column, std::string what,
           std::string remedy) {
    Problem p = problemOf(severity, std::move(what), std::move(remedy));
    p.file = result.file;
    p.row = result.row;
    p.column = column;
    return p;
}

std::string nameOf(const FibreResultFinding& result) {
    return result.fraction + " of " + quote(result.material) + " by " + quote(result.method);
}

std::string knownMethods() {
    std::string keys;
    for (const FibreMethod& method : fibreMethods()) {
        keys += (keys.empty() ? "" : ", ") + std::string{method.key};
    }
    return keys;
}

void addOfResult(const FibreResultFinding& result, std::vector<Problem>& problems) {
    const FibreMethod* method = findFibreMethod(result.method);
    if (method == nullptr) {
        problems.push_back(at(result, Severity::warning, "method",
                              "the method " + quote(result.method) +
                                  " is not in the table of methods; what it measures is not known here",
                              "use one of " + knownMethods() + ", or read the result by yourself"));
    } else if (!method->gives(result.fraction)) {
        problems.push_back(at(result, Severity::warning, "fraction",
                              nameOf(result) + ": the method does not give this fraction",
                              "check method and fraction"));
    }
    if (!result.asIsPer100g.value && result.valued > 0) {
        problems.push_back(at(result, Severity::warning, "moisture_percent",
                              nameOf(result) + (result.dryPer100g.value ? " is on dry matter, and " : ": ") +
                                  result.asIsPer100g.absentBecause +
                                  ": the fibre of the material as it is, and all that hangs on it, is absent",
                              "give moisture_percent"));
    }
    if (result.repeatability.verdict == RepeatabilityVerdict::beyond) {
        problems.push_back(at(result, Severity::warning, "value",
                              nameOf(result) + ": the two determinations differ by " +
                                  fixedNumber(result.spread.range.value.value_or(0.0), 2) + " g, more than " +
                                  fixedNumber(result.repeatability.limitHighG.value_or(0.0), 2) +
                                  " g, the repeatability limit (2.8 s_r; " + result.repeatability.source +
                                  ")",
                              "determine it again, or look for what went wrong"));
    }
}

void addOfRecipe(const Study& study, const RecipeFinding& recipe, std::vector<Problem>& problems) {
    const std::string name = "recipe " + quote(recipe.label);
    if (!recipe.food.empty() && !findFood(study, recipe.food)) {
        problems.push_back(inStudyJson(Severity::warning, "recipes.food",
                                       name + ": its food " + quote(recipe.food) + " is not in the study",
                                       "check the spelling"));
    }
    if (!recipe.after && recipe.afterAbsentBecause != "nothing is to be replaced") {
        problems.push_back(
            inStudyJson(Severity::warning, "recipes.replace",
                        name + ": nothing was replaced, " + shortened(recipe.afterAbsentBecause),
                        "mend replace, by and share"));
    }
    for (const RecipeContents* contents : {&recipe.before, recipe.after ? &*recipe.after : nullptr}) {
        if (contents == nullptr) {
            continue;
        }
        for (const std::string& fault : contents->faults) {
            problems.push_back(inStudyJson(Severity::warning, "recipes.baked_mass_g", name + ": " + fault,
                                           "check baked_mass_g and water_g"));
        }
        if (contents->lossPercent.value && *contents->lossPercent.value < 0.0) {
            problems.push_back(inStudyJson(Severity::warning, "recipes.baked_mass_g",
                                           name + ": the product weighs more than its parts",
                                           "check baked_mass_g and the masses"));
            break;
        }
    }
}

}  // namespace

std::vector<Problem> problemsOf(const Study& study, const FibreFindings& findings) {
    std::vector<Problem> problems;
    if (!study.fibre.region.empty() && !findings.rule) {
        problems.push_back(inStudyJson(
            Severity::warning, "fibre.region", "there is no rule " + quote(study.fibre.region),
            "use one of " + fibreRuleKeys(fibreRulesOf(study.fibre)) + ", or add it to fibre_rules"));
    }
    for (const FibreResultFinding& result : findings.results) {
        addOfResult(result, problems);
    }
    for (const FibreDisagreement& one : findings.disagreements) {
        if (!one.explained) {
            std::string what = one.text;
            what.pop_back();  // the full stop of the sentence
            problems.push_back(at(findings.results[one.one], Severity::warning, "value", std::move(what),
                                  "look at both results before one is used"));
        }
    }
    if (findings.disagreements.size() >= mostDisagreements) {
        problems.push_back(problemOf(Severity::warning,
                                     "more than " + std::to_string(mostDisagreements) +
                                         " pairs of fibre results do not agree; the rest is not listed",
                                     "split the file by material"));
    }
    for (const RecipeFinding& recipe : findings.recipes) {
        addOfRecipe(study, recipe, problems);
    }
    return problems;
}

}  // namespace aftercurve
