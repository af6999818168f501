#include "core/base/number_text.h"
#include "core/fibre/fibre_rules.h"
#include "core/findings/tables/builders.h"
#include "core/findings/tables/cells.h"
#include "core/study/laboratory_counted.h"

namespace aftercurve {

namespace {

/// Between the names of a row's key: no name of a fibre file holds a control character.
constexpr const char* keyGap = "\x1f";

/// Things left out that a note lists one by one.
constexpr std::size_t mostLeftOut = 20;

constexpr const char* noResults = "No fibre results: study.json names no fibre file.";

void addReason(std::string& remark, const std::string& reason) {
    if (!reason.empty() && remark.find(reason) == std::string::npos) {
        remark += (remark.empty() ? "" : "; ") + reason;
    }
}

Table fibreTable(const char* key, const char* title, std::string emptyText) {
    Table table;
    table.key = key;
    table.title = title;
    table.emptyText = std::move(emptyText);
    return table;
}

std::string remarkOn(const FibreResultFinding& result) {
    std::string remark;
    if (result.missing > 0) {
        addReason(remark, std::to_string(result.missing) + " without a value");
    }
    if (result.excluded > 0 && result.counts()) {
        addReason(remark, std::to_string(result.excluded) + " excluded");
    }
    addReason(remark, result.asIsPer100g.absentBecause);
    addReason(remark, result.dryPer100g.absentBecause);
    addReason(remark, result.spread.n > 0 ? result.spread.sd.absentBecause : std::string{});
    if (result.spread.n > 0) {
        addReason(remark, result.repeatability.because);
    }
    addReason(remark, result.repeatability.source);
    return remark;
}

}  // namespace

Table fibreResultsTable(const Study& /*study*/, const Findings& findings) {
    Table table = fibreTable("fibre_results", "Fibre by method", noResults);
    table.columns = {
        textColumn("material", "Material"),
        textColumn("method", "Method", "Number of the AOAC Official Method"),
        textColumn("fraction", "Fraction"),
        textColumn("laboratory", "Laboratory"),
        countColumn("n", "n", "Determinations with a value"),
        numberColumn("as_is_g_per_100_g", "In 100 g as it is", "g", 2,
                     "Mean; of a result on dry matter: dry × (100 − moisture) / 100"),
        numberColumn("dry_g_per_100_g", "In 100 g of dry matter", "g", 2,
                     "Mean; of a result as it is: as it is × 100 / (100 − moisture)"),
        textColumn("spread_on", "Spread on", "Basis of the spread"),
        numberColumn("sd_g", "SD", "g", 2, "Of the determinations, n − 1", {"n"}),
        numberColumn("cv_percent", "CV", "%", 1, "100 × SD / mean", {"sd_g"}),
        numberColumn("range_g", "Largest − smallest", "g", 2, "Of the determinations"),
        numberColumn("limit_low_g", "Repeatability limit from", "g", 2,
                     "2.8 × s_r of the most even material, or the own s_r"),
        numberColumn("limit_high_g", "Repeatability limit to", "g", 2,
                     "2.8 × s_r of the most uneven material, or the own s_r"),
        textColumn("repeatability", "Against the limit", "Two determinations: within, between, beyond"),
        numberColumn("per_serving_g", "In a serving", "g", 2, "As it is × serving / 100",
                     {"as_is_g_per_100_g"}),
        textColumn("remark", "Remark")};
    for (const FibreResultFinding& result : findings.fibre.results) {
        Row row;
        row.key =
            result.material + keyGap + result.method + keyGap + result.fraction + keyGap + result.laboratory;
        row.file = result.file;
        row.row = result.row;
        row.muted = result.spread.n == 0;
        row.cells = {cellOf(result.material),
                     cellOf(result.method),
                     cellOf(result.fraction),
                     cellOf(result.laboratory),
                     cellOf(result.valued),
                     cellOf(result.asIsPer100g.value),
                     cellOf(result.dryPer100g.value),
                     cellOf(result.spread.n == 0 ? std::string{}
                            : result.spreadOnDry ? std::string{"dry"}
                                                 : std::string{"as-is"}),
                     cellOf(result.spread.sd.value),
                     cellOf(result.spread.cvPercent.value),
                     cellOf(result.spread.range.value),
                     cellOf(result.repeatability.limitLowG),
                     cellOf(result.repeatability.limitHighG),
                     std::string{wordFor(result.repeatability.verdict)},
                     cellOf(result.perServing.value),
                     cellOf(remarkOn(result))};
        table.rows.push_back(std::move(row));
    }
    for (const FibreDisagreement& one : findings.fibre.disagreements) {
        table.notes.push_back(one.text);
    }
    if (const auto& leftOut = findings.fibre.excluded; !leftOut.empty()) {
        table.notes.push_back("Excluded: " + leftOutWords(leftOut, mostLeftOut) + ".");
    }
    return table;
}

Table fibreMethodsTable(const Study& /*study*/, const Findings& findings) {
    Table table = fibreTable("fibre_methods", "What the methods measure", noResults);
    table.columns = {textColumn("method", "Method", "Number of the AOAC Official Method"),
                     textColumn("how", "How it works"), textColumn("used", "Used here")};
    for (const FibrePart part : allFibreParts) {
        std::string key{wordFor(part)};
        for (char& c : key) {
            c = c == '-' ? '_' : c;
        }
        table.columns.push_back(
            textColumn(key, std::string{labelFor(part)}, "Whether the method measures it"));
    }
    for (Column& column :
         std::vector{textColumn("gives", "Gives", "Fractions that it gives a number for"),
                     textColumn("suits", "All that the definition includes",
                                "Whether one total of the method measures wholly all parts that it includes"),
                     textColumn("not_measured", "Not measured", "Parts that the definition includes"),
                     textColumn("in_part", "In part only", "Parts that the definition includes"),
                     textColumn("named", "Named by the rule"), textColumn("remark", "Remark"),
                     textColumn("source", "Source")}) {
        table.columns.push_back(std::move(column));
    }
    for (const FibreMethodFinding& finding : findings.fibre.methods) {
        const FibreMethod* method = findFibreMethod(finding.method);
        if (method == nullptr) {
            continue;
        }
        Row row;
        row.key = finding.method;
        row.muted = !finding.used;
        row.cells = {cellOf(finding.method), std::string{method->title}, yesOrNothing(finding.used)};
        for (const FibreCoverage coverage : method->coverage) {
            row.cells.emplace_back(std::string{wordFor(coverage)});
        }
        std::string gives;
        for (const std::string_view fraction : method->fractions) {
            gives += (gives.empty() ? "" : ", ") + std::string{fraction};
        }
        row.cells.push_back(cellOf(gives));
        if (const auto& s = finding.suitability) {
            row.cells.emplace_back(std::string{s->measuresAll() ? "yes" : "no"});
            row.cells.push_back(cellOf(labelsOf(s->missed)));
            row.cells.push_back(cellOf(labelsOf(s->partly)));
            row.cells.push_back(yesOrNothing(s->named));
        } else {
            row.cells.resize(row.cells.size() + 4);
        }
        row.cells.emplace_back(std::string{method->remark});
        row.cells.emplace_back(std::string{method->source});
        table.rows.push_back(std::move(row));
    }
    if (findings.fibre.rule) {
        const FibreRule& rule = *findings.fibre.rule;
        table.notes.push_back("Definition of " + rule.title + ": " + rule.definition +
                              ". Source: " + rule.source + (rule.on.empty() ? "" : "; state of " + rule.on) +
                              ". " + std::string{checkWithAuthority} + ".");
    }
    return table;
}

Table fibreStatementsTable(const Study& /*study*/, const Findings& findings) {
    Table table =
        fibreTable("fibre_statements", "Fibre on a label",
                   "No statements: study.json names no region that has a rule, or nothing holds fibre.");
    table.columns = {textColumn("what", "What"),
                     textColumn("state", "State", "The method, or the recipe before and after"),
                     textColumn("rule", "Rule"),
                     textColumn("statement", "Statement"),
                     textColumn("needed", "Needed"),
                     textColumn("found", "Found"),
                     textColumn("answer", "Answer", "What the numbers say; the authority decides"),
                     textColumn("remark", "Remark")};
    const auto& rule = findings.fibre.rule;
    for (const FibreLabelFinding& label : findings.fibre.labels) {
        if (!rule) {
            break;
        }
        const auto add = [&](const std::string& key, std::vector<Cell> more, bool muted) {
            Row row;
            row.key = label.key + "/" + key;
            row.muted = muted;
            row.cells = {cellOf(label.subject), cellOf(label.state), cellOf(rule->title)};
            row.cells.insert(row.cells.end(), more.begin(), more.end());
            table.rows.push_back(std::move(row));
        };
        for (std::size_t s = 0; s < label.statements.size(); ++s) {
            const StatementFinding& one = label.statements[s];
            std::string remark = one.because;
            addReason(remark, label.remark);
            add(std::to_string(s + 1),
                {rule->statements[s].words, cellOf(one.needed), cellOf(one.found),
                 std::string{wordFor(one.answer)}, cellOf(remark)},
                one.answer == StatementAnswer::notKnown);
        }
        const std::string per = rule->labelPer == FibreBasis::serving
                                    ? "in a serving"
                                    : "in " + std::string{wordFor(rule->labelPer)};
        add("declared",
            {"declared amount " + per,
             cellOf(std::string{rule->rounding.empty() ? "no rounding" : "rounding of the rule"}),
             cellOf(label.labelled.value ? plainNumber(*label.labelled.value) + " g" : std::string{}),
             cellOf(label.label), cellOf(label.labelled.absentBecause)},
            !label.labelled.value);
    }
    if (rule && !table.rows.empty()) {
        table.notes.push_back("Numbers that meet a statement do not permit it; the authority decides (" +
                              std::string{checkWithAuthority} + "). Source: " + rule->source +
                              (rule->on.empty() ? "" : "; state of " + rule->on) + ".");
    }
    return table;
}

Table recipesTable(const Study& study, const Findings& findings) {
    Table table = fibreTable("recipes", "Recipes before and after", "No recipe: study.json names none.");
    table.columns = {textColumn("recipe", "Recipe"),
                     textColumn("food", "Food"),
                     textColumn("state", "State", "As it is made, or with a part replaced"),
                     numberColumn("raw_g", "Parts together", "g", 1, "Sum of the masses"),
                     numberColumn("product_g", "Product", "g", 1,
                                  "After baking or drying; the parts together where no loss is given"),
                     numberColumn("loss_percent", "Lost", "%", 1, "100 × (parts − product) / parts",
                                  {"raw_g", "product_g"}),
                     numberColumn("serving_g", "Serving", "g", 1, "As study.json gives it")};
    const auto three = [&table](const char* total, const char* hundred, const char* serving,
                                const std::string& name, const char* unit, int decimals) {
        table.columns.push_back(
            numberColumn(total, name, unit, decimals, "Σ mass × amount in 100 g / 100 over the parts"));
        table.columns.push_back(numberColumn(hundred, name + " in 100 g", unit, decimals,
                                             "100 × that of the whole / product", {total, "product_g"}));
        table.columns.push_back(numberColumn(serving, name + " in a serving", unit, decimals,
                                             "Serving × that of the whole / product",
                                             {total, "serving_g", "product_g"}));
    };
    three("fibre_g", "fibre_g_per_100_g", "fibre_g_per_serving", "Fibre", "g", 2);
    three("available_carbohydrate_g", "available_carbohydrate_g_per_100_g",
          "available_carbohydrate_g_per_serving", "Available carbohydrate", "g", 1);
    three("protein_g", "protein_g_per_100_g", "protein_g_per_serving", "Protein", "g", 1);
    three("fat_g", "fat_g_per_100_g", "fat_g_per_serving", "Fat", "g", 1);
    three("water_g", "water_g_per_100_g", "water_g_per_serving", "Water", "g", 1);
    three("energy_kj", "energy_kj_per_100_g", "energy_kj_per_serving", "Energy", "kJ", 0);
    table.columns.push_back(numberColumn("target_g", "Fibre wanted", "g", 1, "As study.json gives it"));
    table.columns.push_back(numberColumn("servings", "Servings", "", 2, "Fibre wanted / fibre in a serving",
                                         {"target_g", "fibre_g_per_serving"}));
    table.columns.push_back(
        numberColumn("whole_servings", "Whole servings", "", 0, "Servings rounded up", {"servings"}));
    table.columns.push_back(textColumn("remark", "Remark"));
    for (const RecipeFinding& recipe : findings.fibre.recipes) {
        const auto add = [&](const RecipeContents& c, const char* key, const std::string& state) {
            Row row;
            row.key = recipe.id + "/" + key;
            row.about.food = recipe.food;
            row.muted = !c.fibre.total.value;
            row.cells = {cellOf(recipe.label),
                         cellOf(recipe.food.empty() ? std::string{} : labelOf(study, recipe.food)),
                         cellOf(state),
                         Cell{c.rawG},
                         cellOf(c.bakedG.value),
                         cellOf(c.lossPercent.value),
                         cellOf(c.serving.weightG)};
            std::string remark;
            for (const RecipeAmount* amount :
                 {&c.fibre, &c.availableCarbohydrate, &c.protein, &c.fat, &c.water, &c.energyKj}) {
                row.cells.push_back(cellOf(amount->total.value));
                row.cells.push_back(cellOf(amount->per100g.value));
                row.cells.push_back(cellOf(amount->perServing.value));
                for (const PortionValue* value : {&amount->total, &amount->per100g, &amount->perServing}) {
                    addReason(remark, value->absentBecause);
                }
            }
            row.cells.push_back(cellOf(findings.fibre.targetG));
            row.cells.push_back(cellOf(c.servings.exact.value));
            row.cells.push_back(cellOf(c.servings.whole));
            for (const std::string& note : recipe.notes) {
                addReason(remark, note);
            }
            row.cells.push_back(cellOf(remark));
            table.rows.push_back(std::move(row));
        };
        add(recipe.before, "before", "as it is made");
        if (recipe.after) {
            add(*recipe.after, "after", recipe.replacement);
        }
    }
    return table;
}

}  // namespace aftercurve
