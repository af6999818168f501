#include <algorithm>

#include "core/base/number_text.h"
#include "core/findings/tables/builders.h"
#include "core/findings/tables/cells.h"
#include "core/findings/tables/digestion_names.h"
#include "core/study/laboratory_counted.h"

namespace aftercurve {

namespace {

/// Things left out that a note lists one by one.
constexpr std::size_t mostLeftOut = 20;

void addReason(std::string& remark, const std::string& reason) {
    if (!reason.empty() && remark.find(reason) == std::string::npos) {
        remark += (remark.empty() ? "" : "; ") + reason;
    }
}

std::string fractionRemark(const FractionSummary& summary) {
    std::string remark;
    if (summary.absent > 0 || !summary.mean) {
        addReason(remark, summary.absentBecause);
    }
    for (const std::string& note : summary.notes) {
        addReason(remark, note);
    }
    if (summary.n == 1) {
        addReason(remark, "one digestion: no replicate error");
    }
    return remark;
}

/// The columns of the parameters, in the order of cinf, k, c0, second phase.
constexpr const char* parameterKeys[] = {"c0", "cinf", "k", "cinf_1", "k_1", "cinf_2", "k_2"};

void addParameterColumns(const std::string& confidence, std::vector<Column>& columns) {
    for (const std::string key : parameterKeys) {
        const bool rate = key.front() == 'k';
        const std::string unit = rate ? "1/min" : "%";
        const int decimals = rate ? 5 : 2;
        columns.push_back(numberColumn(key, key, unit, decimals, "Least squares"));
        columns.push_back(
            numberColumn(key + "_se", key + ", SE", unit, decimals, "s²(JᵀJ)⁻¹ at the optimum", {key}));
        columns.push_back(numberColumn(key + "_ci_low", key + ", lower end", unit, decimals,
                                       confidence + ": estimate − t·SE", {key, key + "_se"}));
        columns.push_back(numberColumn(key + "_ci_high", key + ", upper end", unit, decimals,
                                       confidence + ": estimate + t·SE", {key, key + "_se"}));
    }
}

void addFitRow(const std::string& sample, const std::string& food, const std::string& curve,
               const DigestionFit& fit, bool chosen, const std::string& why, Table& table) {
    Row row;
    row.key = sample + "/" + curve + "/" + std::string{wordFor(fit.model)};
    row.about.food = food;
    row.muted = !fit.usable();
    row.cells = {sample, curve, std::string{wordFor(fit.model)}, yesOrNothing(chosen), cellOf(fit.n)};
    for (const char* key : parameterKeys) {
        const FitParameter* found = nullptr;
        for (const FitParameter& parameter : fit.parameters) {
            found = parameter.key == key ? &parameter : found;
        }
        row.cells.push_back(found != nullptr ? Cell{found->estimate} : Cell{});
        row.cells.push_back(found != nullptr ? cellOf(found->se) : Cell{});
        row.cells.push_back(found != nullptr ? cellOf(found->ciLow) : Cell{});
        row.cells.push_back(found != nullptr ? cellOf(found->ciHigh) : Cell{});
    }
    std::string remark = fit.absentBecause;
    addReason(remark, fit.errorsAbsentBecause);
    addReason(remark, chosen ? why : "");
    for (Cell& cell : std::vector<Cell>{cellOf(fit.rss), cellOf(fit.residualSd), cellOf(fit.df),
                                        cellOf(fit.aicc), cellOf(remark)}) {
        row.cells.push_back(std::move(cell));
    }
    table.rows.push_back(std::move(row));
}

}  // namespace

Table digestionFractionsTable(const Study& study, const Findings& findings) {
    Table table;
    table.key = "digestion_fractions";
    table.title = "Starch fractions by digestion in vitro";
    table.emptyText = noAssays;
    const std::string rapid = plainNumber(findings.digestion.cuts.rapidMin);
    const std::string slow = plainNumber(findings.digestion.cuts.slowMin);
    table.columns = {
        textColumn("sample", "Sample"),
        textColumn("fraction", "Fraction"),
        textColumn("unit", "Unit"),
        countColumn("n", "n", "Digestions with it: replicates of all runs"),
        numberColumn("mean", "Mean", "", 2,
                     "To " + rapid + " min; from there to " + slow +
                         " min; total starch less both; from there to the last time; total starch less all"),
        numberColumn("sd", "SD", "", 2, "Between digestions"),
        numberColumn("se", "SE", "", 2, "SD/√n", {"sd", "n"}),
        numberColumn("propagated_se", "Propagated SE", "", 2,
                     "With the standard errors of total starch and free glucose, where given",
                     {"se", "mean"}),
        textColumn("remark", "Remark")};
    for (const DigestionSample& sample : findings.digestion.bySample) {
        for (const FractionSummary& summary : sample.fractions) {
            Row row;
            row.key = sample.sample + "/" + std::string{keyOf(summary.fraction)} + "/" +
                      std::string{wordFor(summary.basis)};
            row.about.food = sample.food;
            row.muted = !summary.mean;
            row.cells = {sample.sample,
                         std::string{keyOf(summary.fraction)},
                         std::string{unitOf(summary.basis)},
                         cellOf(summary.n),
                         cellOf(summary.mean),
                         cellOf(summary.sd),
                         cellOf(summary.se),
                         cellOf(summary.propagatedSe),
                         cellOf(fractionRemark(summary))};
            table.rows.push_back(std::move(row));
        }
    }
    if (const auto& leftOut = findings.digestion.excluded; !leftOut.empty()) {
        table.notes = {"Excluded: " + leftOutWords(leftOut, mostLeftOut) + "."};
    }
    return named(std::move(table), study, findings.digestion);
}

Table digestionFitsTable(const Study& study, const Findings& findings) {
    Table table;
    table.key = "digestion_fits";
    table.title = "Digestion curves";
    table.emptyText = noAssays;
    table.columns = {
        textColumn("sample", "Sample"),
        textColumn("curve", "Curve", "Of the mean over digestions, or of one digestion"),
        textColumn("model", "Model", "Cinf(1 − e^(−kt)); C0 + Cinf(1 − e^(−kt)); sum of two such phases"),
        textColumn("chosen", "Chosen", "Smallest AICc of the models that can be fitted"),
        countColumn("n", "n", "Readings")};
    addParameterColumns(confidencePercent(findings.plan.alpha) + " % CI", table.columns);
    for (Column& column : std::vector<Column>{
             numberColumn("rss", "Sum of squares", "", 3, "Of the residuals"),
             numberColumn("residual_sd", "Residual SD", "%", 3, "√(sum of squares/df)", {"rss", "df"}),
             numberColumn("df", "df", "", 0, "n − parameters", {"n"}),
             numberColumn("aicc", "AICc", "", 2,
                          "n·ln(RSS/n) + 2K + 2K(K + 1)/(n − K − 1), K = parameters + 1", {"rss", "n"}),
             textColumn("remark", "Remark")}) {
        table.columns.push_back(std::move(column));
    }
    const auto add = [&table](const std::string& sample, const std::string& food, const std::string& curve,
                              const FitChoice& fits) {
        for (std::size_t i = 0; i < fits.candidates.size(); ++i) {
            addFitRow(sample, food, curve, fits.candidates[i], fits.chosen == i, fits.why, table);
        }
    };
    for (const DigestionSample& sample : findings.digestion.bySample) {
        add(sample.sample, sample.food, "mean", sample.fits);
    }
    for (const DigestionReplicate& replicate : findings.digestion.replicates) {
        add(replicate.sample, findings.digestion.bySample[replicate.digestion.sample].food,
            "run " + replicate.digestion.run + ", replicate " + std::to_string(replicate.digestion.replicate),
            replicate.fits);
    }
    return named(std::move(table), study, findings.digestion);
}

Table digestionSlopesTable(const Study& study, const Findings& findings) {
    Table table;
    table.key = "digestion_slopes";
    table.title = "Logarithm of the slope of the mean digestion curves";
    table.emptyText = noAssays;
    table.columns = {
        textColumn("sample", "Sample"),
        countColumn("phase", "Phase", "Two where two lines have the smaller AICc, one after the other"),
        numberColumn("from_min", "From", "min", 1, "Middle of the first pair of times"),
        numberColumn("to_min", "To", "min", 1, "Middle of the last pair of times"),
        countColumn("n", "n", "Slopes with a logarithm"),
        numberColumn("k", "k", "1/min", 5, "−slope of ln(ΔC/Δt) over the middle times"),
        numberColumn("k_se", "k, SE", "1/min", 5, "Of the slope of the line", {"k"}),
        numberColumn("intercept", "Intercept", "", 4, "ln(Cinf·k)"),
        numberColumn("cinf", "Cinf", "%", 2, "e^intercept/k", {"intercept", "k"}),
        numberColumn("bend_min", "Bend", "min", 1, "Where the two lines meet"),
        numberColumn(
            "curve_residual_sd", "Residual SD, lines", "%", 3,
            "Of the readings about the curve that the lines make, from the first reading; df = times − "
            "3 for one phase, − 6 for two",
            {"k", "intercept", "bend_min"}),
        numberColumn("fit_residual_sd", "Residual SD, fit", "%", 3, "Of the chosen fit of the same curve"),
        numberColumn("aicc_one", "AICc, one line", "", 2, "K = 3"),
        numberColumn("aicc_two", "AICc, two lines", "", 2, "K = 6"),
        textColumn("remark", "Remark")};
    for (const DigestionSample& sample : findings.digestion.bySample) {
        const LogOfSlope& slopes = sample.slopes;
        const FitChoice& fits = sample.fits;
        const std::optional<double> noFit;
        const std::optional<double>& fitSd = fits.chosen ? fits.candidates[*fits.chosen].residualSd : noFit;
        std::string remark = slopes.absentBecause;
        if (slopes.withoutLog > 0) {
            addReason(remark, std::to_string(slopes.withoutLog) + " slopes not above 0 are not in the lines");
        }
        const std::size_t rows = std::max<std::size_t>(1, slopes.phases.size());
        for (std::size_t i = 0; i < rows; ++i) {
            const SlopePhase* phase = i < slopes.phases.size() ? &slopes.phases[i] : nullptr;
            const auto of = [phase](double SlopePhase::*member) {
                return phase != nullptr ? Cell{phase->*member} : Cell{};
            };
            Row row;
            row.key = sample.sample + "/" + std::to_string(i + 1);
            row.about.food = sample.food;
            row.muted = phase == nullptr || !phase->cinf;
            row.cells = {sample.sample,
                         phase != nullptr ? Cell{static_cast<std::int64_t>(i + 1)} : Cell{},
                         of(&SlopePhase::fromMin),
                         of(&SlopePhase::toMin),
                         phase != nullptr ? cellOf(phase->n) : Cell{},
                         of(&SlopePhase::k),
                         phase != nullptr ? cellOf(phase->kSe) : Cell{},
                         of(&SlopePhase::intercept),
                         phase != nullptr ? cellOf(phase->cinf) : Cell{},
                         cellOf(slopes.bendMin),
                         cellOf(slopes.curveResidualSd),
                         cellOf(fitSd),
                         cellOf(slopes.aiccOne),
                         cellOf(slopes.aiccTwo),
                         cellOf(remark)};
            table.rows.push_back(std::move(row));
        }
    }
    return named(std::move(table), study, findings.digestion);
}

Table digestionIndexTable(const Study& study, const Findings& findings) {
    Table table;
    table.key = "digestion_index";
    table.title = "Areas, hydrolysis index and estimated glycaemic index";
    table.emptyText = noAssays;
    const DigestionFindings& digestion = findings.digestion;
    table.columns = {
        textColumn("sample", "Sample"),
        textColumn("reference", "Reference"),
        numberColumn("until_min", "Until", "min", 0, "End of the areas"),
        numberColumn("fitted_area", "Area of the fitted curve", "% × min", 1,
                     "Integral of the chosen curve of table digestion_fits", {"until_min"}),
        numberColumn("area", "Area by trapezoids", "% × min", 1, "Of the mean curve from 0", {"until_min"}),
        numberColumn("hydrolysis_index", "Hydrolysis index", "", 1, "100 · area/area of the reference",
                     {"fitted_area", "area"}),
        textColumn("hydrolysis_from", "From", "Which areas"),
        numberColumn("hydrolysis_se", "Hydrolysis index, SE", "", 1,
                     "From the trapezoid areas of the digestions, to first order", {"hydrolysis_index"})};
    for (const IndexEquation& equation : indexEquations()) {
        table.columns.push_back(numberColumn(
            "estimated_index_" + std::string{equation.key}, "Estimated index, " + std::string{equation.words},
            "", 1, std::string{equation.source} + "; " + std::string{estimateCaution()},
            {"hydrolysis_index"}));
    }
    table.columns.push_back(textColumn("remark", "Remark"));
    for (const DigestionSample& sample : digestion.bySample) {
        Row row;
        row.key = sample.sample;
        row.about.food = sample.food;
        row.muted = !sample.hydrolysisIndex.value;
        row.cells = {sample.sample,
                     cellOf(digestion.reference),
                     cellOf(digestion.untilMin),
                     cellOf(sample.fittedArea.value),
                     cellOf(sample.area.value),
                     cellOf(sample.hydrolysisIndex.value),
                     cellOf(sample.hydrolysisFrom),
                     cellOf(sample.hydrolysisSe)};
        for (const DigestValue& estimated : sample.estimatedIndex) {
            row.cells.push_back(cellOf(estimated.value));
        }
        std::string remark = sample.fittedArea.absentBecause;
        addReason(remark, sample.area.absentBecause);
        addReason(remark, sample.area.note);
        addReason(remark, sample.hydrolysisIndex.absentBecause);
        row.cells.push_back(cellOf(remark));
        table.rows.push_back(std::move(row));
    }
    if (!table.rows.empty()) {
        table.notes = {std::string{estimateCaution()} + " The equations were made for areas to " +
                       plainNumber(equationLastMin) + " min with white bread as 100."};
    }
    return named(std::move(table), study, findings.digestion);
}

Table digestionComparisonsTable(const Study& study, const Findings& findings) {
    Table table;
    table.key = "digestion_comparisons";
    table.title = "Samples compared";
    table.emptyText = "No comparison: the assays have fewer than two samples with readings.";
    const DigestionFindings& digestion = findings.digestion;
    const std::string confidence = confidencePercent(findings.plan.alpha) + " % CI";
    const std::string family = digestion.family == "none" ? "of this pair alone" : digestion.family;
    table.columns = {
        textColumn("quantity", "Quantity"),
        textColumn("unit", "Unit"),
        textColumn("sample", "Sample", "Empty: all samples at once"),
        textColumn("comparator", "Minus"),
        countColumn("n", "n", "Digestions"),
        countColumn("runs", "Runs", "Blocks, where there are several"),
        numberColumn("f", "F", "", 3, "Mean square between samples, given runs/residual mean square"),
        numberColumn("num_df", "df", "", 0, "Samples − 1"),
        numberColumn("den_df", "Residual df", "", 0, "n − samples − runs + 1", {"n", "runs"}),
        numberColumn("residual_sd", "Residual SD", "", 4, "Between digestions, given sample and run"),
        numberColumn("difference", "Difference", "", 4, "Adjusted for runs"),
        numberColumn("se", "SE", "", 4, "Of the difference", {"residual_sd"}),
        numberColumn("t", "t", "", 3, "Difference/SE", {"difference", "se"}),
        pColumn("p", "p", "Of F, or of this pair alone", {"f", "num_df", "den_df", "t"}),
        pColumn("p_adjusted", "p, adjusted", "Family: " + family, {"t", "den_df"}),
        numberColumn("ci_low", "Lower end", "", 4, confidence + ", " + family, {"difference", "se"}),
        numberColumn("ci_high", "Upper end", "", 4, confidence + ", " + family, {"difference", "se"}),
        textColumn("remark", "Remark")};
    for (const DigestionComparison& comparison : digestion.comparisons) {
        const OneWay& test = comparison.test;
        std::string leftOut;
        if (!comparison.leftOut.empty()) {
            leftOut = std::to_string(comparison.leftOut.size()) + " left out: " + comparison.leftOut.front();
        }
        std::string remark = test.absentBecause;
        addReason(remark, leftOut);
        Row all;
        all.key = comparison.key;
        all.muted = !test.f;
        all.cells = {comparison.key,
                     comparison.unit,
                     Cell{},
                     Cell{},
                     cellOf(test.n),
                     cellOf(test.blocks),
                     cellOf(test.f),
                     cellOf(test.numeratorDf),
                     cellOf(test.denominatorDf),
                     cellOf(test.residualSd),
                     Cell{},
                     Cell{},
                     Cell{},
                     cellOf(test.p),
                     Cell{},
                     Cell{},
                     Cell{},
                     cellOf(remark)};
        table.rows.push_back(std::move(all));
        for (const OneWayDifference& difference : test.differences) {
            const std::string& sample = digestion.bySample[difference.group].sample;
            const std::string& comparator = digestion.bySample[difference.minus].sample;
            Row row;
            row.key = comparison.key + "/" + sample + "/" + comparator;
            row.about.food = digestion.bySample[difference.group].food;
            row.muted = !difference.p;
            row.cells = {comparison.key,
                         comparison.unit,
                         sample,
                         comparator,
                         cellOf(test.n),
                         cellOf(test.blocks),
                         Cell{},
                         Cell{},
                         cellOf(test.denominatorDf),
                         cellOf(test.residualSd),
                         cellOf(difference.estimate),
                         cellOf(difference.se),
                         cellOf(difference.t),
                         cellOf(difference.p),
                         cellOf(difference.pAdjusted),
                         cellOf(difference.ciLow),
                         cellOf(difference.ciHigh),
                         cellOf(difference.absentBecause)};
            table.rows.push_back(std::move(row));
        }
    }
    if (!table.rows.empty()) {
        table.notes = {
            "Every digestion counts as one independent value. A p above the level is not evidence that "
            "samples "
            "are alike."};
    }
    return named(std::move(table), study, findings.digestion);
}

}  // namespace aftercurve
