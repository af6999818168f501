#include "core/fibre/fibre_rules.h"

#include <algorithm>

namespace aftercurve {

namespace {

using enum FibrePart;
using enum FibreBasis;

constexpr const char* stateOf = "2025-01-01";

const std::vector<FibrePart> polymers{insoluble,        solubleHigh,      resistantStarch1, resistantStarch2,
                                      resistantStarch3, resistantStarch4, fructans};

std::vector<FibrePart> withOligomers() {
    std::vector<FibrePart> parts = polymers;
    parts.insert(parts.begin() + 2, solubleLow);
    return parts;
}

std::vector<FibreStatementRule> perWeightAndEnergy(const char* source, const char* high) {
    return {{source, {{hundredG, 3.0}, {hundredKcal, 1.5}}}, {high, {{hundredG, 6.0}, {hundredKcal, 3.0}}}};
}

FibreRule codex() {
    FibreRule rule;
    rule.key = "codex";
    rule.title = "Codex Alimentarius";
    rule.definition =
        "CXG 2-1985: carbohydrate polymers with ten or more monomers that human enzymes do not hydrolyse; "
        "whether those with 3 to 9 count is left to the national authority; extracted and synthetic ones "
        "with a "
        "shown benefit";
    rule.includes = polymers;
    rule.leftToAuthority = {solubleLow};
    rule.methods = {"985.29", "991.43", "2001.03", "2002.02", "2009.01", "2011.25", "2017.16", "2022.01"};
    rule.statements = perWeightAndEnergy("source", "high");
    rule.source =
        "CXG 2-1985, CXG 23-1997 and CXS 234-1999, from memory; the ways by reference value of a serving are "
        "national and not in this table";
    rule.on = stateOf;
    return rule;
}

FibreRule europeanUnion() {
    FibreRule rule;
    rule.key = "eu";
    rule.title = "European Union";
    rule.definition =
        "Regulation (EU) 1169/2011, Annex I: carbohydrate polymers with three or more monomers that are "
        "neither "
        "digested nor absorbed in the small intestine: as eaten in the food, or extracted or synthetic with "
        "a "
        "shown benefit";
    rule.includes = withOligomers();
    rule.statements = perWeightAndEnergy("source of fibre", "high fibre");
    rule.labelPer = hundredG;
    rule.rounding = {{.fromG = 0.0, .words = "0 g or <0.5 g"},
                     {.fromG = 0.5, .above = true, .nearestG = 0.1},
                     {.fromG = 10.0, .nearestG = 1.0}};
    rule.source =
        "Regulation (EU) 1169/2011, Annex I; Regulation (EC) 1924/2006, annex; rounding: guidance of the "
        "Commission's services on tolerances, December 2012; all from memory; the regulation names no method";
    rule.on = stateOf;
    return rule;
}

FibreRule unitedStates() {
    FibreRule rule;
    rule.key = "us";
    rule.title = "United States";
    rule.definition =
        "21 CFR 101.9(c)(6)(i): non-digestible carbohydrates with three or more monomers and lignin that are "
        "intrinsic and intact in plants, or isolated or synthetic ones that the agency has accepted";
    rule.includes = withOligomers();
    rule.methods = {"2009.01", "2011.25"};
    rule.statements = {{"good source of fibre (from 10 % of 28 g)", {{serving, 2.8}}},
                       {"high in fibre (from 20 % of 28 g)", {{serving, 5.6}}}};
    rule.labelPer = serving;
    rule.rounding = {{.fromG = 0.0, .words = "0 g"},
                     {.fromG = 0.5, .words = "less than 1 g"},
                     {.fromG = 1.0, .nearestG = 1.0}};
    rule.source =
        "21 CFR 101.9(c)(6)(i) and 101.54, from memory; a serving stands for the reference amount "
        "customarily "
        "consumed: 'good source' ends at 19 % of 28 g";
    rule.on = stateOf;
    return rule;
}

FibreRule canada() {
    FibreRule rule;
    rule.key = "ca";
    rule.title = "Canada";
    rule.definition =
        "Policy of Health Canada, 2012: carbohydrates with three or more monomers of plants that are not "
        "digested in the small intestine, and accepted novel fibres";
    rule.includes = withOligomers();
    rule.methods = {"2009.01", "2011.25", "2017.16"};
    rule.statements = {{"source of fibre", {{serving, 2.0}}},
                       {"high source of fibre", {{serving, 4.0}}},
                       {"very high source of fibre", {{serving, 6.0}}}};
    rule.labelPer = serving;
    rule.rounding = {{.fromG = 0.0, .words = "0 g"}, {.fromG = 0.5, .nearestG = 1.0}};
    rule.source =
        "Food and Drug Regulations, tables of nutrient content claims and of the nutrition facts, from "
        "memory; "
        "a serving stands for reference amount and serving of stated size";
    rule.on = stateOf;
    return rule;
}

FibreRule australiaNewZealand() {
    FibreRule rule;
    rule.key = "anz";
    rule.title = "Australia and New Zealand";
    rule.definition =
        "Standard 1.1.2: the fraction of the edible part of plants, or synthetic analogues, that resists "
        "digestion in the small intestine, usually with fermentation, with a beneficial effect; "
        "oligosaccharides of three or more monomers included";
    rule.includes = withOligomers();
    rule.methods = {"985.29", "991.43", "997.08", "999.03", "2001.03", "2009.01", "2011.25", "2017.16"};
    rule.statements = {{"source of fibre", {{serving, 2.0}}},
                       {"good source of fibre", {{serving, 4.0}}},
                       {"excellent source of fibre", {{serving, 7.0}}}};
    rule.labelPer = hundredG;
    rule.rounding = {{.fromG = 0.0, .words = "less than 1 g"}, {.fromG = 1.0, .figures = 3}};
    rule.source = "Food Standards Code, Standards 1.1.2, 1.2.7, 1.2.8 and Schedules 4 and 11, from memory";
    rule.on = stateOf;
    return rule;
}

}  // namespace

std::span<const FibreRule> builtInFibreRules() {
    static const std::vector<FibreRule> rules{codex(), europeanUnion(), unitedStates(), canada(),
                                              australiaNewZealand()};
    return rules;
}

std::vector<FibreRule> fibreRulesOf(const FibreData& fibre) {
    std::vector<FibreRule> rules = fibre.rules;
    for (const FibreRule& rule : builtInFibreRules()) {
        const bool own = std::any_of(fibre.rules.begin(), fibre.rules.end(),
                                     [&rule](const FibreRule& one) { return one.key == rule.key; });
        if (!own) {
            rules.push_back(rule);
        }
    }
    return rules;
}

std::string fibreRuleKeys(std::span<const FibreRule> rules) {
    std::string keys;
    for (const FibreRule& rule : rules) {
        keys += (keys.empty() ? "" : ", ") + rule.key;
    }
    return keys;
}

}  // namespace aftercurve
