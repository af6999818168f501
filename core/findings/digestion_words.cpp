#include <algorithm>
#include <cmath>

#include "core/base/number_text.h"
#include "core/findings/caption_parts.h"
#include "core/findings/digestion_findings.h"
#include "core/findings/narrative.h"
#include "core/findings/rounded_words.h"

namespace aftercurve {

namespace {

/// About three figures, whatever the size.
std::string figures(double value) {
    const double size = std::abs(value);
    if (size > 0.0 && size < 1e-5) {
        return plainNumber(value);
    }
    const int decimals = size >= 100.0                ? 0
                         : size >= 10.0               ? 1
                         : size >= 1.0                ? 2
                         : size >= 0.1 || size == 0.0 ? 3
                         : size >= 1e-3               ? 4
                                                      : 6;
    return fixedText(value, decimals);
}

std::string withInterval(const FitParameter& parameter, double alpha) {
    std::string text = figures(parameter.estimate);
    if (parameter.ciLow && parameter.ciHigh) {
        text += " (" + confidencePercent(alpha) + " % CI " + figures(*parameter.ciLow) + " to " +
                figures(*parameter.ciHigh) + ")";
    }
    return text;
}

std::string fractionWords(const DigestionFindings& findings, const DigestionSample& sample) {
    std::string text;
    std::string absent;
    CountSpan n;
    for (const FractionSummary& summary : sample.fractions) {
        const bool main = summary.fraction == StarchFraction::rapidly ||
                          summary.fraction == StarchFraction::slowly ||
                          summary.fraction == StarchFraction::resistant;
        if (summary.basis != findings.basis || !main) {
            continue;
        }
        if (!summary.mean) {
            absent = summary.absentBecause;
            continue;
        }
        n = {text.empty() ? summary.n : std::min(n.least, summary.n), std::max(n.most, summary.n)};
        text += (text.empty() ? "" : ", ") + lowered(std::string{labelOf(summary.fraction)}) + " " +
                fixedNumber(*summary.mean, 1);
        if (summary.sd) {
            text += " (SD " + fixedNumber(*summary.sd, 1) + ")";
        }
    }
    if (text.empty()) {
        return "The starch fractions of " + sample.label +
               " could not be found: " + (absent.empty() ? sample.absentBecause : absent) + ".";
    }
    return "In vitro, " + sample.label + " had, in " + std::string{unitOf(findings.basis)} + ", " + text +
           "; cuts at " + plainNumber(findings.cuts.rapidMin) + " and " + plainNumber(findings.cuts.slowMin) +
           " min, " + countRange(n.least, n.most) + (n.most == 1 ? " digestion." : " digestions.");
}

std::string fitWords(const DigestionSample& sample, double alpha) {
    if (!sample.fits.chosen) {
        return " No digestion curve could be fitted: " + sample.fits.why + ".";
    }
    const DigestionFit& fit = sample.fits.candidates[*sample.fits.chosen];
    std::string text = " Its mean digestion curve follows a " + std::string{wordFor(fit.model)} +
                       " course (" + sample.fits.why + "): ";
    for (std::size_t i = 0; i < fit.parameters.size(); ++i) {
        const FitParameter& parameter = fit.parameters[i];
        const bool rate = parameter.key.front() == 'k';
        text += (i == 0 ? "" : ", ") + parameter.key + " " + withInterval(parameter, alpha) +
                (rate ? " per min" : " %");
    }
    if (fit.residualSd && !fit.exact) {
        text += "; residual SD " + figures(*fit.residualSd) + " %";
    }
    return text + ".";
}

/// Which of the fitted curve and the curve of the lines lies closer to the readings.
std::string slopeWords(const DigestionSample& sample) {
    const LogOfSlope& slopes = sample.slopes;
    if (!slopes.curveResidualSd) {
        return {};
    }
    const bool two = slopes.phases.size() == 2;
    std::string text =
        two ? " The lines through the logarithm of its slope make a curve of two phases one after "
              "the other"
            : " The line through the logarithm of its slope makes a curve of one phase";
    if (const auto change = phaseChangeMin(slopes)) {
        text += ", the second from " + fixedNumber(*change, 0) + " min on";
    }
    text += " (residual SD " + figures(*slopes.curveResidualSd) + " %)";
    const auto fitSd =
        sample.fits.chosen ? sample.fits.candidates[*sample.fits.chosen].residualSd : std::optional<double>{};
    if (fitSd && figures(*fitSd) != figures(*slopes.curveResidualSd)) {
        text += *fitSd < *slopes.curveResidualSd ? "; the fitted curve lies closer to the readings"
                                                 : "; it lies closer to the readings than the fitted curve";
    } else if (fitSd) {
        text += "; it and the fitted curve lie equally close to the readings";
    }
    return text + ".";
}

std::string indexWords(const Study& study, const DigestionFindings& findings, const DigestionSample& sample) {
    if (!sample.hydrolysisIndex.value || sample.reference || !findings.untilMin) {
        return {};
    }
    const auto reference = findAssaySample(study.assays, findings.reference);
    std::string text = " Its area to " + plainNumber(*findings.untilMin) + " min was " +
                       fixedNumber(*sample.hydrolysisIndex.value, 1) + " % of that of " +
                       (reference ? study.assays.samples[*reference].label : findings.reference) +
                       " (hydrolysis index, from " + sample.hydrolysisFrom;
    if (sample.hydrolysisSe) {
        text += ", SE " + fixedNumber(*sample.hydrolysisSe, 1);
    }
    text += "). Estimated glycaemic index: ";
    const auto equations = indexEquations();
    for (std::size_t i = 0; i < equations.size() && i < sample.estimatedIndex.size(); ++i) {
        if (sample.estimatedIndex[i].value) {
            text += (i == 0 ? "" : "; ") + fixedNumber(*sample.estimatedIndex[i].value, 1) + " by " +
                    std::string{equations[i].words} + " (" + std::string{equations[i].source} + ")";
        }
    }
    text += ". " + std::string{estimateCaution()};
    if (*findings.untilMin != equationLastMin) {
        text += " The equations were made for areas to " + plainNumber(equationLastMin) +
                " min with white bread as 100.";
    }
    return text;
}

}  // namespace

std::string digestionSentence(const Study& study, const DigestionFindings& findings,
                              const DigestionSample& sample, double alpha) {
    if (sample.digestions == 0) {
        return "There are no readings of " + sample.label + ".";
    }
    std::string text = fractionWords(findings, sample);
    if (!sample.curve.empty()) {
        text += fitWords(sample, alpha) + slopeWords(sample);
    }
    return text + indexWords(study, findings, sample);
}

std::string digestionSentence(const DigestionFindings& findings, const DigestionComparison& comparison,
                              double alpha) {
    const OneWay& test = comparison.test;
    if (!test.f || !test.p || !test.numeratorDf || !test.denominatorDf) {
        return comparison.label + " of the samples could not be compared: " + test.absentBecause + ".";
    }
    std::string text =
        comparison.label + " (" + comparison.unit + "): F(" + plainNumber(*test.numeratorDf) + ", " +
        plainNumber(*test.denominatorDf) + ") = " + figures(*test.f) + ", " + pText(*test.p) + " between " +
        std::to_string(test.groups) + " samples, " + std::to_string(test.n) + " digestions" +
        (test.blocks > 1 ? " in " + std::to_string(test.blocks) + " runs as blocks" : "") + ".";
    std::string pairs;
    for (const OneWayDifference& difference : test.differences) {
        if (difference.estimate && difference.pAdjusted && *difference.pAdjusted < alpha) {
            pairs += (pairs.empty() ? "" : "; ") + findings.bySample[difference.group].label + " minus " +
                     findings.bySample[difference.minus].label + " " + figures(*difference.estimate);
            if (difference.ciLow && difference.ciHigh) {
                pairs += " (" + confidencePercent(alpha) + " % CI " + figures(*difference.ciLow) + " to " +
                         figures(*difference.ciHigh) + ")";
            }
            pairs += ", " + pText(*difference.pAdjusted);
        }
    }
    const std::string by = findings.family == "tukey"     ? "Tukey's"
                           : findings.family == "dunnett" ? "Dunnett's"
                                                          : "unadjusted";
    if (!pairs.empty()) {
        text += " Pairs that differ (" + by + " p): " + pairs + ".";
    }
    if (pairs.empty() || *test.p >= alpha) {
        text += " At the " + plainNumber(alpha) + " level this does not tell " +
                (pairs.empty() ? "any two samples" : "the samples") +
                " apart; it is not evidence that they are alike.";
    }
    return text;
}

}  // namespace aftercurve
