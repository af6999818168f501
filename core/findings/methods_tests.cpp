#include <algorithm>
#include <set>

#include "core/base/number_text.h"
#include "core/base/version.h"
#include "core/findings/adjusted_p.h"
#include "core/findings/margin_words.h"
#include "core/findings/methods_parts.h"
#include "core/findings/narrative.h"
#include "core/findings/rounded_words.h"
#include "core/index/index_standards.h"
#include "core/index/insulin_measures.h"

namespace aftercurve {

namespace {

void addComparison(MethodsWriting& w) {
    const Plan& plan = w.findings.plan;
    if (w.findings.comparisons.empty()) {
        return;
    }
    w.add("Replicate visits of a subject with a food were averaged at the measure.");
    w.add("Each food was compared with " + labelOf(w.study, plan.comparator) +
          " by the paired t test (hypothesis: the mean difference is 0; two-sided, level " +
          plainNumber(plan.alpha) + "), with " + confidencePercent(plan.alpha) +
          " % intervals, and the Wilcoxon signed rank test and the Hodges–Lehmann estimate beside it.");
    w.add(plan.multiplicity == Multiplicity::none
              ? "p was not adjusted for several foods."
              : "p was adjusted over the foods by the method of " + adjustmentLabel(plan.multiplicity) +
                    " within each analyte and measure.");
}

void addModel(MethodsWriting& w) {
    const Plan& plan = w.findings.plan;
    std::set<std::string> formulas;
    const ModelFinding* fitted = nullptr;
    for (const ModelFinding& model : w.findings.models) {
        if (model.fit.absentBecause.empty()) {
            formulas.insert(model.formula);
            fitted = &model;
        }
    }
    if (fitted == nullptr) {
        return;
    }
    w.add("A linear mixed model (" + listedWords({formulas.begin(), formulas.end()}) +
          ") was fitted by REML, with " +
          (plan.inference.modelDf == ModelDf::kenwardRoger ? "Kenward–Roger" : "Satterthwaite") +
          " degrees of freedom; its differences " +
          (fitted->family.family == ModelFamily::allPairs ? "of all pairs" : "with the comparator") +
          (fitted->family.adjustment == ModelAdjustment::none
               ? " were not adjusted."
               : " were adjusted by the method of " + adjustmentLabel(fitted->family.adjustment) + "."));
}

void addTimeCourse(MethodsWriting& w) {
    const auto& all = w.findings.timeCourses;
    const auto fitted = std::find_if(all.begin(), all.end(), [](const TimeCourseFinding& finding) {
        return finding.fit.absentBecause.empty();
    });
    if (fitted == all.end()) {
        return;
    }
    const std::string covariance =
        fitted->model == "ar1" ? "a correlation within a curve that falls with the distance of times"
        : fitted->model == "unstructured" ? "a variance for each time and a covariance for each pair of times"
                                          : "independent residuals";
    w.add("The time course was modelled with food, time and their interaction (" + fitted->value +
          " at each time) by REML, with random effects of subjects where the data told them apart and " +
          covariance + "; degrees of freedom by Satterthwaite; differences at the times of one food " +
          (w.findings.plan.multiplicity == Multiplicity::none
               ? "not adjusted."
               : "adjusted by the method of " + adjustmentLabel(w.findings.plan.multiplicity) + "."));
}

void addCompanions(MethodsWriting& w) {
    const Plan& plan = w.findings.plan;
    const Companions& companions = w.findings.companions;
    if (!companions.comparisons.empty()) {
        const auto ran = [&companions](auto has) {
            return std::any_of(companions.comparisons.begin(), companions.comparisons.end(), has);
        };
        std::vector<std::string> names;
        if (ran([](const CompanionFinding& c) { return c.sign.p.has_value(); })) {
            names.emplace_back("the sign test");
        }
        if (ran([](const CompanionFinding& c) { return c.permutation.p.has_value(); })) {
            names.emplace_back("a permutation test of signs");
        }
        if (ran([](const CompanionFinding& c) { return c.trimmed.p.has_value(); })) {
            names.push_back("the mean trimmed by " + plainNumber(plan.inference.trim) + " at each end");
        }
        if (ran([](const CompanionFinding& c) { return c.logRatio.ratio.has_value(); })) {
            names.emplace_back("the ratio of geometric means");
        }
        if (ran([](const CompanionFinding& c) { return c.ratio.ratio.has_value(); })) {
            names.emplace_back("the ratio of means by Fieller");
        }
        if (!names.empty()) {
            w.add("Beside the paired t test, and not adjusted, stood " + listedWords(names) + ".");
        }
        if (ran([](const CompanionFinding& c) { return c.bootstrap.replicates > 0; })) {
            w.add("Bootstrap intervals rest on " + std::to_string(plan.resamples) + " resamples (seed " +
                  std::to_string(plan.seed) + ").");
        }
    }
    const auto& ranks = companions.ranks;
    if (std::any_of(ranks.begin(), ranks.end(), [](const RankFinding& f) { return f.friedman.p; })) {
        w.add("All foods together were tested by Friedman's ranks within subjects.");
    }
}

/// A limit as the plan names it, with the minus sign of typography.
std::string signedText(double value) {
    return value < 0.0 ? "−" + plainNumber(-value) : plainNumber(value);
}

void addMargins(MethodsWriting& w) {
    const Plan& plan = w.findings.plan;
    const Companions& companions = w.findings.companions;
    const auto& margins = companions.margins;
    for (std::size_t row = 0; row < margins.size(); ++row) {
        const auto sameLimits = [&](const MarginFinding& other) {
            return other.scale == margins[row].scale && other.analyte == margins[row].analyte;
        };
        const auto here = margins.begin() + static_cast<std::ptrdiff_t>(row);
        if (!margins[row].result.p || std::any_of(margins.begin(), here, sameLimits)) {
            continue;
        }
        const MarginFinding& m = margins[row];
        w.add("Equivalence of the " + std::string{labelOf(m.scale)} + " of " + m.analyte + " " +
                  measureInWords(m.measure) + " was tested by two one-sided tests at " +
                  plainNumber(plan.alpha) + " against margins of the plan, " + signedText(m.low) + " to " +
                  signedText(m.high) + (m.unit.empty() ? "" : " " + m.unit) + ".",
              {{"margins", row}});
    }
    const auto& worse = companions.nonInferiority;
    for (std::size_t i = 0; i < worse.size(); ++i) {
        if (worse[i].result.p) {
            w.add("Non-inferiority of " + worse[i].analyte + " " + measureInWords(worse[i].measure) +
                      " was tested one-sided at " + plainNumber(plan.alpha / 2.0) +
                      " against a margin of the plan, " + plainNumber(worse[i].margin) + " " + worse[i].unit +
                      ".",
                  {{"margins", margins.size() + i}});
            break;
        }
    }
}

/// "ISO 26642" and so on; its classes where it has some.
std::string standardText(const IndexPlan& plan) {
    const std::string words{indexClassWords(plan.standard)};
    return std::string{rulesOf(plan.standard).title} + (words.empty() ? "" : " (" + words + ")");
}

}  // namespace

void addTests(MethodsWriting& w) {
    addComparison(w);
    addModel(w);
    const auto& crossovers = w.findings.crossovers;
    if (std::any_of(crossovers.begin(), crossovers.end(),
                    [](const CrossoverFinding& c) { return c.result.treatment.p.has_value(); })) {
        w.add(
            "Food, period and carry-over were tested as in a two-period crossover; the analysis was not "
            "chosen by the carry-over test.");
    }
    addTimeCourse(w);
    addCompanions(w);
    addMargins(w);
}

void addIndexRules(MethodsWriting& w) {
    const Plan& plan = w.findings.plan;
    const auto& index = w.findings.index;
    const auto found =
        std::find_if(index.begin(), index.end(), [](const IndexFinding& f) { return f.index.mean; });
    if (found != index.end()) {
        w.add(
            "The index of a subject was 100 times the measure of the food over the mean of the visits with " +
            labelOf(w.study, found->reference) +
            "; the food's index was the mean over subjects, with its interval by t.");
        w.add(std::string{"Values beyond 2 SD of the subjects' mean were "} +
              (plan.indexOutlierRule == IndexOutlierRule::none ? "flagged and kept."
               : plan.indexOutlierRule == IndexOutlierRule::twoSdOnce
                   ? "flagged and left out, in one pass."
                   : "flagged and left out, until a pass found none."));
        if (std::any_of(index.begin(), index.end(),
                        [](const IndexFinding& f) { return f.indexClass.has_value(); })) {
            w.add("Classes of the index are those of " + standardText(plan.indexPlan) + ".");
        }
        if (plan.indexPlan.referenceFactor != 1.0) {
            w.add("The index was multiplied by " + plainNumber(plan.indexPlan.referenceFactor) +
                  " to stand on the glucose scale" +
                  (plan.indexPlan.referenceFactorSource.empty()
                       ? "."
                       : " (" + plan.indexPlan.referenceFactorSource + ")."));
        }
    }
    std::vector<std::string> labels;
    for (const InsulinSummary& summary : w.findings.insulinSummaries) {
        const auto kind = insulinMeasureIndex(summary.key);
        if (kind && summary.mean) {
            const std::string label{insulinMeasureList()[*kind].label};
            if (std::find(labels.begin(), labels.end(), label) == labels.end()) {
                labels.push_back(label);
            }
        }
    }
    if (!labels.empty()) {
        w.add("Measures of insulin were computed for each visit: " + listedWords(labels) + ".");
    }
}

void addPlanAndProgram(MethodsWriting& w) {
    if (!w.findings.sensitivity.empty()) {
        w.add(
            "Whether the main comparison hung on other choices was looked at under every area, both rules of "
            "baseline, several windows and, where there were exclusions, with and without them; these p were "
            "not adjusted.");
    }
    const auto& registered = w.findings.registered;
    for (std::size_t i = 0; i < registered.size(); ++i) {
        const RegisteredFinding& plan = registered[i];
        w.add("The plan was registered on " + plan.on + (plan.by.empty() ? "" : " by " + plan.by) +
                  (plan.note.empty() ? "" : " (" + plan.note + ")") + " with SHA-256 " + plan.sha256 +
                  (plan.hashHolds ? "" : ", which does not hold for its text") + "; " +
                  (plan.differences == 0 ? "the analysis ran as registered."
                                         : countedWords(plan.differences, "choice") + " of the analysis " +
                                               (plan.differences == 1 ? "differs" : "differ") + " from it."),
              w.rows.rowsFrom("plan_registered", std::to_string(i) + "/"));
    }
    if (registered.empty()) {
        w.add("No plan was registered beforehand in the study files.");
    }
    w.add("Computed with Aftercurve " + std::string{versionText()} + " (" + std::string{revisionText()} +
          ").");
}

}  // namespace aftercurve
