#include "core/base/number_text.h"
#include "core/findings/tables/builders.h"
#include "core/findings/tables/cells.h"

namespace aftercurve {

namespace {

constexpr const char* nothingKnown = "No food: study.json names none.";

Cell portionCell(const PortionValue& value) {
    return cellOf(value.value);
}

std::string joinedWords(const std::vector<std::string>& words) {
    std::string text;
    for (const std::string& word : words) {
        text += (text.empty() ? "" : ", ") + word;
    }
    return text;
}

void addReason(std::string& remark, const std::string& reason) {
    if (!reason.empty() && remark.find(reason) == std::string::npos) {
        remark += (remark.empty() ? "" : "; ") + reason;
    }
}

std::string remarkOn(const PortionFinding& finding) {
    std::string remark;
    std::vector<std::string> missing = finding.notGiven;
    if (!finding.servingG) {
        missing.insert(missing.begin(), "serving");
    }
    if (!finding.portionG) {
        missing.insert(missing.begin(), "weight of the portion");
    }
    if (!missing.empty()) {
        addReason(remark, "not given: " + joinedWords(missing));
    }
    if (finding.availableCarbohydrateG && finding.portionG) {
        addReason(remark, finding.portionFor50G.absentBecause);
    }
    for (const PortionMatch* match : {finding.toComparator ? &*finding.toComparator : nullptr,
                                      finding.toReference ? &*finding.toReference : nullptr}) {
        if (match != nullptr && finding.availableCarbohydrateG) {
            addReason(remark, match->differencePercent.absentBecause);
        }
    }
    if (finding.energy.beyond) {
        addReason(remark, "stated energy far from that of the macronutrients");
    }
    for (const CompositionFault& fault : finding.faults) {
        addReason(remark, fault.what);
    }
    return remark;
}

Cell differenceCell(const std::optional<PortionMatch>& match) {
    return match ? portionCell(match->differenceG) : Cell{};
}

Cell percentCell(const std::optional<PortionMatch>& match) {
    return match ? portionCell(match->differencePercent) : Cell{};
}

Cell statusCell(const std::optional<PortionMatch>& match) {
    return match ? Cell{std::string{wordFor(match->status)}} : Cell{};
}

std::vector<Column> portionColumns(const std::string& tolerance) {
    const std::string match =
        "Available carbohydrate within " + tolerance + " % of the other's, the limit included";
    return {
        textColumn("food", "Food"),
        textColumn("comparator", "Comparator"),
        textColumn("reference", "Reference food"),
        numberColumn("portion_g", "Portion", "g", 1, "As given"),
        numberColumn("serving_g", "Serving", "g", 1, "What is eaten at a time outside the study, as given"),
        numberColumn("available_carbohydrate_g", "Available carbohydrate", "g", 1,
                     "In the portion, as given"),
        numberColumn("fibre_g", "Fibre", "g", 1, "In the portion, as given"),
        numberColumn("protein_g", "Protein", "g", 1, "In the portion, as given"),
        numberColumn("fat_g", "Fat", "g", 1, "In the portion, as given"),
        numberColumn("energy_kj", "Energy", "kJ", 0, "Of the portion, as stated"),
        numberColumn("energy_from_macronutrients_kj", "Energy from macronutrients", "kJ", 0,
                     "17 · available carbohydrate + 17 · protein + 37 · fat + 8 · fibre",
                     {"available_carbohydrate_g", "protein_g", "fat_g", "fibre_g"}),
        numberColumn("energy_difference_percent", "Stated energy off by", "%", 1,
                     "100 · (stated − from macronutrients) / from macronutrients",
                     {"energy_kj", "energy_from_macronutrients_kj"}),
        numberColumn("serving_available_carbohydrate_g", "Available carbohydrate of a serving", "g", 1,
                     "Of the portion · serving / portion",
                     {"available_carbohydrate_g", "serving_g", "portion_g"}),
        numberColumn("serving_fibre_g", "Fibre of a serving", "g", 2, "Of the portion · serving / portion",
                     {"fibre_g", "serving_g", "portion_g"}),
        numberColumn("serving_energy_kj", "Energy of a serving", "kJ", 0,
                     "Stated, else from macronutrients; of the portion · serving / portion",
                     {"energy_kj", "energy_from_macronutrients_kj", "serving_g", "portion_g"}),
        numberColumn("portion_for_50_g", "Portion with 50 g", "g", 1,
                     "Portion · 50 / available carbohydrate: holds 50 g of it",
                     {"portion_g", "available_carbohydrate_g"}),
        numberColumn("portion_for_25_g", "Portion with 25 g", "g", 1,
                     "Portion · 25 / available carbohydrate: holds 25 g of it",
                     {"portion_g", "available_carbohydrate_g"}),
        numberColumn("comparator_difference_g", "Off the comparator by", "g", 1,
                     "Available carbohydrate − the comparator's", {"available_carbohydrate_g"}),
        numberColumn("comparator_difference_percent", "Off the comparator by", "%", 1,
                     "100 · difference / the comparator's", {"comparator_difference_g"}),
        textColumn("comparator_match", "Matched to the comparator", match),
        numberColumn("reference_difference_g", "Off the reference by", "g", 1,
                     "Available carbohydrate − the reference food's", {"available_carbohydrate_g"}),
        numberColumn("reference_difference_percent", "Off the reference by", "%", 1,
                     "100 · difference / the reference food's", {"reference_difference_g"}),
        textColumn("reference_match", "Matched to the reference", match),
        numberColumn("fibre_difference_g", "Fibre, difference", "g", 1, "Fibre − the comparator's",
                     {"fibre_g"}),
        numberColumn("energy_difference_kj", "Energy, difference", "kJ", 0,
                     "Energy − the comparator's; both stated, else both from macronutrients",
                     {"energy_kj", "energy_from_macronutrients_kj"}),
        numberColumn("resistant_starch_share_percent", "Resistant starch of total starch", "%", 1,
                     "100 · resistant starch / starch, both of table composition",
                     {"composition.per_portion"}),
        textColumn("remark", "Remark")};
}

/// The amount of that key in the portion; absent: not known.
std::optional<double> amountOf(const PortionFinding& finding, std::string_view key) {
    for (const PortionAmount& amount : finding.amounts) {
        if (amount.key == key) {
            return amount.perPortion;
        }
    }
    return std::nullopt;
}

}  // namespace

Table portionsTable(const Study& study, const Findings& findings) {
    Table table;
    table.key = "portions";
    table.title = "Portions and their match";
    table.emptyText = nothingKnown;
    table.columns = portionColumns(plainNumber(findings.plan.indexPlan.matchTolerancePercent));
    for (const PortionFinding& finding : findings.portions) {
        Row row;
        row.key = finding.food;
        row.about.food = finding.food;
        row.muted = !finding.availableCarbohydrateG;
        row.cells = {labelOf(study, finding.food),
                     cellOf(finding.comparator.empty() ? "" : labelOf(study, finding.comparator)),
                     cellOf(finding.reference.empty() ? "" : labelOf(study, finding.reference)),
                     cellOf(finding.portionG),
                     cellOf(finding.servingG),
                     cellOf(finding.availableCarbohydrateG),
                     cellOf(amountOf(finding, "fibre_g")),
                     cellOf(amountOf(finding, "protein_g")),
                     cellOf(amountOf(finding, "fat_g")),
                     cellOf(finding.energy.statedKj),
                     portionCell(finding.energy.fromMacronutrientsKj),
                     portionCell(finding.energy.differencePercent),
                     cellOf(finding.serving.availableCarbohydrateG),
                     cellOf(finding.serving.fibreG),
                     cellOf(finding.serving.energyKj),
                     portionCell(finding.portionFor50G),
                     portionCell(finding.portionFor25G),
                     differenceCell(finding.toComparator),
                     percentCell(finding.toComparator),
                     statusCell(finding.toComparator),
                     differenceCell(finding.toReference),
                     percentCell(finding.toReference),
                     statusCell(finding.toReference),
                     portionCell(finding.fibreDifferenceG),
                     portionCell(finding.energyDifferenceKj),
                     portionCell(finding.resistantStarchSharePercent),
                     cellOf(remarkOn(finding))};
        table.rows.push_back(std::move(row));
    }
    return table;
}

Table servingsTable(const Study& study, const Findings& findings) {
    Table table;
    table.key = "servings";
    table.title = "Servings for an intake of fibre";
    table.emptyText = findings.plan.indexPlan.fibreTargetG
                          ? "No servings: no food has its fibre in study.json (fibre_g)."
                          : "No servings: the plan names no intake of fibre (fibre_target_g).";
    table.columns = {
        textColumn("food", "Food"),
        numberColumn("fibre_target_g", "Fibre wanted", "g", 1, "The plan's fibre_target_g"),
        numberColumn("serving_g", "Serving", "g", 1, "What is eaten at a time outside the study, as given"),
        numberColumn("serving_fibre_g", "Fibre of a serving", "g", 2, "Of the portion · serving / portion",
                     {"portions.fibre_g", "serving_g", "portions.portion_g"}),
        numberColumn("exact", "Servings", "", 2, "Fibre wanted / fibre of a serving",
                     {"fibre_target_g", "serving_fibre_g"}),
        numberColumn("whole", "Whole servings", "", 0, "Servings rounded up", {"exact"}),
        numberColumn("grams", "Food eaten", "g", 0, "Whole servings · serving", {"whole", "serving_g"}),
        numberColumn("available_carbohydrate_g", "Available carbohydrate eaten", "g", 1,
                     "Whole servings · available carbohydrate of a serving",
                     {"whole", "portions.serving_available_carbohydrate_g"}),
        numberColumn("energy_kj", "Energy eaten", "kJ", 0, "Whole servings · energy of a serving",
                     {"whole", "portions.serving_energy_kj"}),
        textColumn("energy_from", "Energy from",
                   "Whether the energy is the stated one or from macronutrients"),
        textColumn("remark", "Remark")};
    for (const PortionFinding& finding : findings.portions) {
        if (!finding.servings) {
            continue;
        }
        const ServingsForTarget& servings = *finding.servings;
        std::string remark;
        addReason(remark, finding.servingFibreAbsentBecause);
        if (remark.empty()) {
            addReason(remark, servings.exact.absentBecause);
            addReason(remark, servings.availableCarbohydrateG.absentBecause);
            addReason(remark, servings.energyKj.absentBecause);
        }
        Row row;
        row.key = finding.food;
        row.about.food = finding.food;
        row.muted = !servings.exact.value;
        row.cells = {labelOf(study, finding.food),
                     cellOf(finding.fibreTargetG),
                     cellOf(finding.servingG),
                     cellOf(finding.serving.fibreG),
                     portionCell(servings.exact),
                     cellOf(servings.whole),
                     portionCell(servings.grams),
                     portionCell(servings.availableCarbohydrateG),
                     portionCell(servings.energyKj),
                     cellOf(servings.energyKj.value ? finding.energyFrom : std::string{}),
                     cellOf(remark)};
        table.rows.push_back(std::move(row));
    }
    return table;
}

Table compositionTable(const Study& study, const Findings& findings) {
    Table table;
    table.key = "composition";
    table.title = "Composition of the portions";
    table.emptyText = "No composition: study.json gives none.";
    table.columns = {
        textColumn("food", "Food"),
        textColumn("what", "What"),
        textColumn("key", "Key", "As in study.json"),
        textColumn("unit", "Unit"),
        numberColumn("per_portion", "Per portion", "", 1, "As given; energy from macronutrients: computed"),
        numberColumn("per_100_g", "Per 100 g", "", 1, "Per portion · 100 / portion",
                     {"per_portion", "portions.portion_g"}),
        numberColumn("per_serving", "Per serving", "", 1, "Per portion · serving / portion",
                     {"per_portion", "portions.serving_g", "portions.portion_g"}),
        textColumn("remark", "Remark")};
    for (const PortionFinding& finding : findings.portions) {
        for (const PortionAmount& amount : finding.amounts) {
            Row row;
            row.key = finding.food + "/" + amount.key;
            row.about.food = finding.food;
            std::string remark = amount.per100G.absentBecause;
            addReason(remark, amount.perServing.absentBecause);
            row.cells = {labelOf(study, finding.food),
                         amount.label,
                         amount.key,
                         amount.unit,
                         amount.perPortion,
                         portionCell(amount.per100G),
                         portionCell(amount.perServing),
                         cellOf(remark)};
            table.rows.push_back(std::move(row));
        }
        if (!finding.amounts.empty() && !finding.notGiven.empty()) {
            table.notes.push_back("Not given for " + labelOf(study, finding.food) + ": " +
                                  joinedWords(finding.notGiven) + ".");
        }
    }
    return table;
}

}  // namespace aftercurve
