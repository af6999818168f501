#include "core/findings/fibre_findings.h"

#include <algorithm>

#include "core/fibre/basis.h"
#include "core/fibre/fibre_rules.h"
#include "core/fibre/label_amount.h"
#include "core/findings/fibre_disagreements.h"
#include "core/portion/energy.h"

namespace aftercurve {

namespace {

constexpr double hundredG = 100.0;
/// Between the names of a key: no name of a fibre file holds a control character.
const std::string gap = "\x1f";

/// The values of a group on one basis; the reason where one cannot be told.
struct OnBasis {
    std::vector<double> values;
    std::string absentBecause;
};

OnBasis onBasis(std::span<const FibreResult* const> rows, bool dry) {
    OnBasis on;
    for (const FibreResult* row : rows) {
        if (!row->value) {
            continue;
        }
        const PortionValue value = row->dryBasis == dry ? finitePortionValue(*row->value)
                                   : dry                ? dryFromAsIs(*row->value, row->moisturePercent)
                                                        : asIsFromDry(*row->value, row->moisturePercent);
        if (!value.value) {
            on.absentBecause = value.absentBecause;
            return on;
        }
        on.values.push_back(*value.value);
    }
    if (on.values.empty()) {
        on.absentBecause = "no determination has a value";
    }
    return on;
}

PortionValue meanOf(const OnBasis& on) {
    return on.absentBecause.empty() ? fibreReplicates(on.values).mean : absentPortionValue(on.absentBecause);
}

const Food* foodCalled(const Study& study, const std::string& material) {
    const auto found = std::find_if(study.foods.begin(), study.foods.end(), [&](const Food& food) {
        return food.id == material || food.label == material;
    });
    return found == study.foods.end() ? nullptr : &*found;
}

std::optional<double> servingOf(const Food* food) {
    return food == nullptr ? std::nullopt : food->composition.servingG;
}

/// Stated, else of the macronutrients.
std::optional<double> energyPer100g(const Food* food) {
    if (food == nullptr) {
        return std::nullopt;
    }
    const FoodComposition& c = food->composition;
    const auto energy = c.energyKj
                            ? c.energyKj
                            : energyKjOf({food->availableCarbohydrateG, c.proteinG, c.fatG, c.fibreG}).value;
    return amountIn(energy, food->portionG, hundredG).value;
}

std::optional<double> ownSdOf(const Study& study, const std::string& method) {
    for (const OwnRepeatability& own : study.fibre.repeatability) {
        if (fibreMethodKey(own.method) == method) {
            return own.sdG;
        }
    }
    return std::nullopt;
}

void finish(const Study& study, std::span<const FibreResult* const> rows, FibreResultFinding& finding) {
    const OnBasis asIs = onBasis(rows, false);
    const OnBasis dry = onBasis(rows, true);
    finding.missing = static_cast<std::size_t>(
        std::count_if(rows.begin(), rows.end(), [](const FibreResult* row) { return !row->value; }));
    finding.valued = rows.size() - finding.missing;
    finding.asIsPer100g = meanOf(asIs);
    finding.dryPer100g = meanOf(dry);
    finding.spreadOnDry = !asIs.absentBecause.empty() && dry.absentBecause.empty();
    const OnBasis& spread = finding.spreadOnDry ? dry : asIs;
    finding.spread = fibreReplicates(spread.absentBecause.empty() ? spread.values : std::vector<double>{});
    finding.repeatability = judgeRepeatability(finding.spread, findFibreMethod(finding.method),
                                               finding.fraction, ownSdOf(study, finding.method));
    const Food* food = foodCalled(study, finding.material);
    finding.perServing = !finding.asIsPer100g.value ? finding.asIsPer100g
                         : food == nullptr ? absentPortionValue("the material is not a food of the study")
                                           : amountIn(finding.asIsPer100g.value, hundredG, servingOf(food));
}

std::vector<FibreResultFinding> resultFindings(const Study& study) {
    std::vector<FibreResultFinding> findings;
    std::vector<std::vector<const FibreResult*>> rows;
    for (const FibreResult& result : study.fibre.results) {
        FibreResultFinding one;
        one.material = result.material;
        one.method = fibreMethodKey(result.method);
        one.fraction = result.fraction;
        one.laboratory = result.laboratory;
        one.file = study.fibre.file;
        one.row = result.row;
        std::size_t at = 0;
        while (at < findings.size() &&
               !(findings[at].sameOrigin(one) && findings[at].fraction == one.fraction)) {
            ++at;
        }
        if (at == findings.size()) {
            findings.push_back(std::move(one));
            rows.emplace_back();
        }
        rows[at].push_back(&result);
    }
    for (std::size_t i = 0; i < findings.size(); ++i) {
        finish(study, rows[i], findings[i]);
    }
    return findings;
}

std::vector<FibreMethodFinding> methodFindings(const FibreFindings& findings) {
    std::vector<FibreMethodFinding> methods;
    if (findings.results.empty()) {
        return methods;
    }
    for (const FibreMethod& method : fibreMethods()) {
        FibreMethodFinding one;
        one.method = std::string{method.key};
        one.used = std::any_of(findings.results.begin(), findings.results.end(),
                               [&method](const FibreResultFinding& r) { return r.method == method.key; });
        if (findings.rule) {
            one.suitability = suitabilityOf(method, *findings.rule);
        }
        methods.push_back(std::move(one));
    }
    return methods;
}

bool measuresAll(const FibreFindings& findings, const FibreResultFinding& result) {
    const FibreMethod* method = findFibreMethod(result.method);
    return findings.rule && method != nullptr && suitabilityOf(*method, *findings.rule).measuresAll();
}

/// The one result that a part's fibre can be taken from.
const FibreResultFinding* totalFor(const FibreFindings& findings, const std::string& material) {
    std::vector<const FibreResultFinding*> all;
    std::vector<const FibreResultFinding*> suited;
    for (const FibreResultFinding& result : findings.results) {
        if (result.material == material && result.fraction == "total" && result.asIsPer100g.value) {
            all.push_back(&result);
            if (measuresAll(findings, result)) {
                suited.push_back(&result);
            }
        }
    }
    return all.size() == 1 ? all.front() : suited.size() == 1 ? suited.front() : nullptr;
}

RecipeFinding recipeFinding(const FibreFindings& findings, const Recipe& given) {
    RecipeFinding finding;
    finding.id = given.id;
    finding.label = given.label;
    finding.food = given.food;
    Recipe recipe = given;
    for (RecipePart& part : recipe.parts) {
        if (part.fibrePer100g) {
            continue;
        }
        if (const FibreResultFinding* total = totalFor(findings, part.material)) {
            part.fibrePer100g = total->asIsPer100g.value;
            finding.notes.push_back("fibre of " + part.material + ": the result by " + total->method +
                                    (total->laboratory.empty() ? "" : ", " + total->laboratory));
        }
    }
    finding.before = recipeContents(recipe, findings.targetG);
    ReplacedRecipe after = afterReplacing(recipe);
    finding.afterAbsentBecause = after.absentBecause;
    if (after.absentBecause.empty()) {
        finding.replacement = replacementWords(recipe);
        finding.after = recipeContents(after.recipe, findings.targetG);
    }
    return finding;
}

std::string methodRemark(const FibreRule& rule, const std::string& key) {
    const FibreMethod* method = findFibreMethod(key);
    if (method == nullptr) {
        return "the method is not in the table";
    }
    const FibreSuitability suitability = suitabilityOf(*method, rule);
    std::string remark;
    if (!suitability.missed.empty()) {
        remark = "not measured: " + labelsOf(suitability.missed);
    }
    if (!suitability.partly.empty()) {
        remark += (remark.empty() ? "" : "; ") + ("measured in part: " + labelsOf(suitability.partly));
    }
    if (!suitability.beyond.empty()) {
        remark += (remark.empty() ? "" : "; ") +
                  ("left to the national authority, and measured: " + labelsOf(suitability.beyond));
    }
    return remark;
}

FibreLabelFinding labelFinding(const FibreRule& rule, FibreContents contents) {
    FibreLabelFinding finding;
    finding.contents = contents;
    finding.labelled = fibreOn(rule.labelPer, contents);
    if (finding.labelled.value) {
        finding.label = labelAmount(*finding.labelled.value, rule.rounding);
    }
    for (const FibreStatementRule& statement : rule.statements) {
        finding.statements.push_back(holdAgainst(statement, contents));
    }
    return finding;
}

FibreContents contentsOf(const RecipeContents& recipe) {
    return {recipe.fibre.per100g.value, recipe.energyKj.per100g.value, recipe.serving.weightG};
}

std::vector<FibreLabelFinding> labelFindings(const Study& study, const FibreFindings& findings) {
    std::vector<FibreLabelFinding> labels;
    if (!findings.rule) {
        return labels;
    }
    const FibreRule& rule = *findings.rule;
    for (const FibreResultFinding& result : findings.results) {
        if (result.fraction != "total") {
            continue;
        }
        const Food* food = foodCalled(study, result.material);
        labels.push_back(
            labelFinding(rule, {result.asIsPer100g.value, energyPer100g(food), servingOf(food)}));
        FibreLabelFinding& added = labels.back();
        added.subject = result.material;
        added.state = "by " + result.method + (result.laboratory.empty() ? "" : ", " + result.laboratory);
        added.key = "material" + gap + result.material + gap + result.method + gap + result.laboratory;
        added.remark = methodRemark(rule, result.method);
    }
    for (const RecipeFinding& recipe : findings.recipes) {
        const auto add = [&](const RecipeContents& contents, const char* when, std::string state) {
            labels.push_back(labelFinding(rule, contentsOf(contents)));
            labels.back().subject = recipe.label;
            labels.back().state = std::move(state);
            labels.back().key = "recipe" + gap + recipe.id + gap + when;
        };
        add(recipe.before, "before", "as it is made");
        if (recipe.after) {
            add(*recipe.after, "after", recipe.replacement);
        }
    }
    return labels;
}

}  // namespace

FibreFindings fibreFindings(const Study& study, const Plan& plan) {
    FibreFindings findings;
    for (FibreRule& rule : fibreRulesOf(study.fibre)) {
        if (rule.key == study.fibre.region) {
            findings.rule = std::move(rule);
        }
    }
    findings.targetG = study.fibre.targetG ? study.fibre.targetG : plan.indexPlan.fibreTargetG;
    findings.results = resultFindings(study);
    findings.methods = methodFindings(findings);
    findings.disagreements = fibreDisagreements(findings.results);
    for (const Recipe& recipe : study.fibre.recipes) {
        findings.recipes.push_back(recipeFinding(findings, recipe));
    }
    findings.labels = labelFindings(study, findings);
    return findings;
}

}  // namespace aftercurve
