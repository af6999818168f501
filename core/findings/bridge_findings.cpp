#include "core/findings/bridge_findings.h"

#include <algorithm>
#include <cmath>

#include "core/compare/descriptive.h"
#include "core/curve/measures.h"
#include "core/findings/bridge_quantities.h"
#include "core/findings/findings.h"
#include "core/findings/rounded_words.h"

namespace aftercurve {

namespace {

/// An interval of r that is wider than this is called wide in the sentence (common practice, no source).
constexpr double wideInterval = 1.0;

BridgeQuantity nameOf(const BridgeQuantity& quantity) {
    return {quantity.key, quantity.label, quantity.unit, {}};
}

const BridgeValue* valueOf(const BridgeQuantity& quantity, const std::string& food) {
    const auto found = std::find_if(quantity.values.begin(), quantity.values.end(),
                                    [&food](const BridgeValue& value) { return value.food == food; });
    return found == quantity.values.end() ? nullptr : &*found;
}

struct Lambda {
    double value = 1.0;
    LambdaSource source = LambdaSource::spread;
};

/// Nothing where neither source gives a positive ratio.
std::optional<Lambda> lambdaOf(const std::vector<BridgePoint>& points) {
    double squaresX = 0.0;
    double squaresY = 0.0;
    bool all = true;
    std::vector<double> x;
    std::vector<double> y;
    for (const BridgePoint& point : points) {
        x.push_back(point.x);
        y.push_back(point.y);
        all = all && point.xSe && point.ySe;
        squaresX += point.xSe.value_or(0.0) * point.xSe.value_or(0.0);
        squaresY += point.ySe.value_or(0.0) * point.ySe.value_or(0.0);
    }
    const auto usable = [](double ratio) { return std::isfinite(ratio) && ratio > 0.0; };
    if (all && squaresX > 0.0 && usable(squaresY / squaresX)) {
        return Lambda{squaresY / squaresX, LambdaSource::standardErrors};
    }
    const auto sdX = sampleSd(x);
    const auto sdY = sampleSd(y);
    if (sdX && sdY && *sdX > 0.0 && usable((*sdY / *sdX) * (*sdY / *sdX))) {
        return Lambda{(*sdY / *sdX) * (*sdY / *sdX), LambdaSource::spread};
    }
    return std::nullopt;
}

BridgeQuantity meanOfMeasure(const Study& study, const Findings& findings, const std::string& analyte) {
    BridgeQuantity quantity;
    quantity.key = findings.plan.measure;
    quantity.label = "Mean " + measureInWords(findings.plan.measure) + " of " + analyte;
    if (const auto index = findAnalyte(study, analyte)) {
        const auto measure = measureIndex(findings.plan.measure);
        quantity.unit =
            measure ? unitOf(measureList()[*measure], study.analytes[*index].unit) : std::string{};
    }
    for (const FoodSummary& summary : findings.summaries) {
        if (summary.analyte == analyte && summary.measure == findings.plan.measure && summary.mean) {
            quantity.values.push_back({summary.food, *summary.mean, summary.sem});
        }
    }
    return quantity;
}

BridgeQuantity indexQuantity(const Findings& findings, const std::string& analyte) {
    BridgeQuantity quantity{"index", "Index of " + analyte, "", {}};
    for (const IndexFinding& finding : findings.index) {
        if (finding.analyte == analyte && finding.index.mean) {
            quantity.values.push_back({finding.food, *finding.index.mean, finding.index.sem});
        }
    }
    return quantity;
}

}  // namespace

BridgeFinding bridgeOf(const BridgeQuantity& x, const BridgeQuantity& y, double alpha) {
    BridgeFinding finding;
    finding.x = nameOf(x);
    finding.y = nameOf(y);
    std::vector<double> xs;
    std::vector<double> ys;
    for (const BridgeValue& one : x.values) {
        const BridgeValue* other = valueOf(y, one.food);
        if (other == nullptr) {
            finding.leftOut.push_back(one.food);
            continue;
        }
        finding.points.push_back({one.food, one.value, other->value, one.se, other->se});
        xs.push_back(one.value);
        ys.push_back(other->value);
    }
    for (const BridgeValue& one : y.values) {
        if (valueOf(x, one.food) == nullptr) {
            finding.leftOut.push_back(one.food);
        }
    }
    finding.pearson = pearsonCorrelation(xs, ys, alpha);
    finding.spearman = spearmanCorrelation(xs, ys);
    if (const auto lambda = lambdaOf(finding.points)) {
        finding.lambdaSource = lambda->source;
        finding.deming = demingLine(xs, ys, lambda->value, alpha);
    } else {
        finding.deming.n = xs.size();
        finding.deming.absentBecause =
            xs.size() < 3 ? "fewer than 3 pairs" : "x or y does not vary over the foods";
        finding.deming.intervalAbsentBecause = finding.deming.absentBecause;
    }
    return finding;
}

std::string permitsSentence(const BridgeFinding& finding, double alpha) {
    const PearsonCorrelation& pearson = finding.pearson;
    const std::string foods = countedWords(finding.points.size(), "food");
    const std::string begin = finding.x.label + " beside " + finding.y.label + " in " + foods + ": ";
    if (!pearson.r) {
        return begin + "no correlation, " + pearson.absentBecause + ".";
    }
    std::string text = begin + "r = " + roundedText(*pearson.r);
    if (!pearson.ciLow || !pearson.ciHigh) {
        return text + ", without an interval (" + pearson.intervalAbsentBecause +
               "). So few foods permit no statement on how digestion in vitro and the response in people go "
               "together.";
    }
    text += " (" + intervalWords(*pearson.ciLow, *pearson.ciHigh, alpha) + ")";
    if (finding.spearman.p) {
        text += ", Spearman's rho = " + roundedText(*finding.spearman.rho);
    }
    text += ". ";
    const bool crosses = *pearson.ciLow <= 0.0 && *pearson.ciHigh >= 0.0;
    if (crosses) {
        text +=
            "The interval covers 0: these foods do not tell whether the two go together, and that is no "
            "evidence that they do not. ";
    } else if (*pearson.ciHigh - *pearson.ciLow > wideInterval) {
        text += "The interval leaves 0 out but is wide. ";
    }
    return text +
           "The foods were chosen, not sampled, and the numbers describe these foods; they do not replace "
           "the "
           "measurement in people.";
}

BridgeFindings bridgeFindings(const Study& study, const Findings& findings) {
    BridgeFindings bridge;
    const std::vector<BridgeQuantity> inVitro = digestionQuantities(findings);
    if (inVitro.empty()) {
        bridge.absentBecause = "the study has no digestion in vitro of its foods";
        return bridge;
    }
    const std::string analyte = findAnalyte(study, "glucose") || study.analytes.empty()
                                    ? std::string{"glucose"}
                                    : study.analytes.front().id;
    for (const BridgeQuantity& y :
         {meanOfMeasure(study, findings, analyte), indexQuantity(findings, analyte)}) {
        if (y.values.empty()) {
            continue;
        }
        for (const BridgeQuantity& x : inVitro) {
            bridge.pairs.push_back(bridgeOf(x, y, findings.plan.alpha));
        }
    }
    if (bridge.pairs.empty()) {
        bridge.absentBecause = "no food has a response in people";
    }
    return bridge;
}

}  // namespace aftercurve
