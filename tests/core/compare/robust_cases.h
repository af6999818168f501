#pragma once

#include <map>
#include <string>
#include <vector>

#include "core/compare/differences.h"
#include "tests/support/reference_csv.h"

namespace aftercurve::test {

/// One set of pairs of tests/reference/robust_cases.csv (invented, made by robust_cases.R).
struct RobustCase {
    std::string kind;
    std::vector<double> food;
    std::vector<double> comparator;

    Differences differences() const { return pairedDifferences(food, comparator); }
};

/// By the number of the case, as text.
inline std::map<std::string, RobustCase> readRobustCases() {
    std::map<std::string, RobustCase> cases;
    for (const ReferenceRow& row : readReference("robust_cases.csv")) {
        RobustCase& one = cases[row.text("case")];
        one.kind = row.text("kind");
        one.food.push_back(row.number("food").value());
        one.comparator.push_back(row.number("comparator").value());
    }
    return cases;
}

}  // namespace aftercurve::test
