#pragma once

#include <string>
#include <utility>
#include <vector>

#include "ui/window/statistics/plan_controls.h"

namespace aftercurve {

/// A control for one word of one part of the plan: `part` is its member of Plan, `member` the rule in it.
template <class Rule, class Part, class From>
void addRule(PlanControls& controls, const QString& key, const QString& label,
             const std::vector<std::pair<QString, Rule>>& rules, Part Plan::*part, Rule Part::*member,
             From from) {
    std::vector<PlanControls::Word> words;
    for (const auto& [text, rule] : rules) {
        words.push_back({text, std::string{wordFor(rule)}});
    }
    controls.addChoice(
        key, label, words,
        [part, member](const Plan& plan) { return std::string{wordFor(plan.*part.*member)}; },
        [part, member, from](Plan& plan, const std::string& word) {
            if (const auto rule = from(word)) {
                plan.*part.*member = *rule;
            }
        });
}

/// Words for a row: the notes of the table that begin with `begin`, one after the other.
std::string notesThatBeginWith(const Table& table, const std::string& begin);
/// Note number `note` of a table; empty where it has fewer.
std::string tableNote(const Results& results, std::string_view table, std::size_t note);

/// "30 60": numbers of the plan with a blank between; and back, false where one cannot be read.
QString numbersText(const std::vector<double>& numbers);
bool readNumbers(const QString& text, std::vector<double>& numbers);

}  // namespace aftercurve
