#pragma once

#include <cstddef>
#include <optional>
#include <string>
#include <vector>

#include "core/compare/correlation.h"
#include "core/compare/deming.h"

namespace aftercurve {

struct Study;
struct Findings;

/// One number of one food, with its standard error where one is known.
struct BridgeValue {
    std::string food;
    double value = 0.0;
    std::optional<double> se;
};

/// One number of every food: "Hydrolysis index", "Mean incremental area".
struct BridgeQuantity {
    std::string key;
    std::string label;
    std::string unit;
    std::vector<BridgeValue> values;
};

struct BridgePoint {
    std::string food;
    double x = 0.0;
    double y = 0.0;
    std::optional<double> xSe;
    std::optional<double> ySe;
};

/// Which variances the ratio lambda of the Deming line was taken from.
enum class LambdaSource {
    standardErrors,  ///< mean of SE² of y over mean of SE² of x, known for every food
    spread,          ///< variance of y over variance of x of the foods: the line of the reduced major axis
};

/// A quantity in vitro (x) beside one in people (y) over the foods that have both.
struct BridgeFinding {
    BridgeQuantity x;                  ///< without its values
    BridgeQuantity y;                  ///< likewise
    std::vector<BridgePoint> points;   ///< in the order of x
    std::vector<std::string> leftOut;  ///< foods with one of the two only
    PearsonCorrelation pearson;
    SpearmanCorrelation spearman;
    LambdaSource lambdaSource = LambdaSource::spread;
    DemingLine deming;
};

/// Digestion in vitro of each food beside what was measured in people.
struct BridgeFindings {
    std::vector<BridgeFinding> pairs;
    std::string absentBecause;  ///< empty where there are pairs
};

/// Pairs the values by food. Foods are few and chosen, not sampled: the numbers describe these foods.
BridgeFinding bridgeOf(const BridgeQuantity& x, const BridgeQuantity& y, double alpha);

/// What so many foods permit one to say: "4 foods: ... the interval of r reaches from −0.62 to 0.99, ...".
std::string permitsSentence(const BridgeFinding& finding, double alpha);

/// Every quantity in vitro of findings.digestion beside the mean of the plan's measure (glucose) and the
/// index. `findings` has its digestion, summaries and index.
BridgeFindings bridgeFindings(const Study& study, const Findings& findings);

}  // namespace aftercurve
