#pragma once

#include <span>
#include <string>
#include <utility>
#include <vector>

#include "core/findings/conformity_findings.h"
#include "core/findings/findings.h"

namespace aftercurve {

// Internal to conformityFindings.

/// What the rules are held against.
struct IndexRuleTest {
    const Study& study;
    const Plan& plan;
    std::span<const CurveFinding> curves;
    std::vector<const IndexFinding*> foods;  ///< glucose, in the order of the study
    std::string reference;
    std::vector<std::string> kept;  ///< subjects that stand in any of the indices
};

/// Rows of one rule. A row that is returned holds until the next one is added.
class IndexRuleRows {
  public:
    IndexRuleRows(const IndexStandardRules& rules, std::vector<ConformityFinding>& rows)
        : rules_{rules}, rows_{rows} {}

    template <class T>
    ConformityFinding& add(const RuleAsks<T>& asks, std::string key, std::string words, std::string asked,
                           std::string food = {}) {
        ConformityFinding row;
        row.standard = rules_.standard;
        row.requirement = std::move(key);
        row.words = std::move(words);
        row.food = std::move(food);
        row.asked = std::move(asked);
        row.source = std::string{rules_.title};
        if (!asks.clause.empty()) {
            row.source += ", " + std::string{asks.clause};
        }
        row.source += "; " + std::string{asks.source};
        row.basis = asks.basis;
        rows_.push_back(std::move(row));
        return rows_.back();
    }

  private:
    const IndexStandardRules& rules_;
    std::vector<ConformityFinding>& rows_;
};

void judgeRow(ConformityFinding& row, bool met, std::string has, std::string remark);
void leaveNotStated(ConformityFinding& row, std::string has, std::string remark);

// What each adds has a row only where the rule says something of it.
void addSubjectRows(IndexRuleRows& rows, const IndexStandardRules& rules, const IndexRuleTest& test);
void addVisitRows(IndexRuleRows& rows, const IndexStandardRules& rules, const IndexRuleTest& test);
void addCarbohydrateRows(IndexRuleRows& rows, const IndexStandardRules& rules, const IndexRuleTest& test);
void addReferenceFoodRow(IndexRuleRows& rows, const IndexStandardRules& rules, const IndexRuleTest& test);
void addSamplingRows(IndexRuleRows& rows, const IndexStandardRules& rules, const IndexRuleTest& test);

}  // namespace aftercurve
