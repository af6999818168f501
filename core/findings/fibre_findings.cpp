#include "core/findings/fibre_findings.h"

#include <algorithm>
#include <utility>

#include "core/fibre/basis.h"
#include "core/fibre/fibre_rules.h"
#include "core/fibre/label_amount.h"
#include "core/findings/fibre_disagreements.h"
#include "core/portion/energy.h"
#include "core/study/laboratory_counted.h"

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

/// The results of one material, method, fraction and laboratory while they are collected.
struct ResultGroup {
    FibreResultFinding finding;
    std::vector<const FibreResult*> rows;
    std::vector<std::string> reasons;  ///< of what is excluded of it
};

ResultGroup& groupOf(const Study& study, const FibreResult& result, std::vector<ResultGroup>& groups) {
    FibreResultFinding one;
    one.material = result.material;
    one.method = fibreMethodKey(result.method);
    one.fraction = result.fraction;
    one.laboratory = result.laboratory;
    one.file = study.fibre.file;
    one.row = result.row;
    const auto found = std::find_if(groups.begin(), groups.end(), [&one](const ResultGroup& group) {
        return group.finding.sameOrigin(one) && group.finding.fraction == one.fraction;
    });
    return found != groups.end() ? *found : groups.emplace_back(ResultGroup{std::move(one), {}, {}});
}

void sayAllExcluded(ResultGroup& group) {
    std::string why = "all its determinations are excluded: " + group.reasons.front();
    if (std::any_of(group.reasons.begin(), group.reasons.end(),
                    [&group](const std::string& reason) { return reason != group.reasons.front(); })) {
        why += "; and other reasons";
    }
    group.finding.asIsPer100g = absentPortionValue(why);
    group.finding.dryPer100g = group.finding.asIsPer100g;
    group.finding.perServing = group.finding.asIsPer100g;
}

/// What counts first, in its own order, so that what is excluded moves nothing; then what is excluded.
std::vector<FibreResultFinding> resultFindings(const Study& study) {
    std::vector<ResultGroup> groups;
    std::vector<std::pair<const FibreResult*, const Exclusion*>> excluded;
    for (const FibreResult& result : study.fibre.results) {
        if (const Exclusion* exclusion = excludes(study.exclusions, result)) {
            excluded.emplace_back(&result, exclusion);
        } else {
            groupOf(study, result, groups).rows.push_back(&result);
        }
    }
    for (const auto& [result, exclusion] : excluded) {
        ResultGroup& group = groupOf(study, *result, groups);
        group.reasons.push_back(reasonOf(*exclusion));
        ++group.finding.excluded;
    }
    std::vector<FibreResultFinding> findings;
    for (ResultGroup& group : groups) {
        finish(study, group.rows, group.finding);
        if (group.rows.empty()) {
            sayAllExcluded(group);
        }
        findings.push_back(std::move(group.finding));
    }
    if (!excluded.empty()) {
        std::stable_sort(
            findings.begin(), findings.end(),
            [](const FibreResultFinding& a, const FibreResultFinding& b) { return a.row < b.row; });
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
        one.used = std::any_of(
            findings.results.begin(), findings.results.end(),
            [&method](const FibreResultFinding& r) { return r.method == method.key && r.counts(); });
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
        if (result.fraction != "total" || !result.counts()) {
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
    findings.excluded = countedFibre(study).leftOut;
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
