#include <cmath>

#include "core/base/number_text.h"
#include "core/findings/tables/builders.h"
#include "core/findings/tables/cells.h"

namespace aftercurve {

namespace {

/// What one method says of one comparison.
struct Line {
    const char* key;
    const char* method;
    std::string about;  ///< what is estimated, with its unit where it has one
    std::size_t n = 0;
    std::optional<double> estimate;
    std::optional<double> low;
    std::optional<double> high;
    std::optional<double> t;
    std::optional<double> df;
    std::optional<double> p;
    std::string remark;
};

void add(std::string& text, const std::string& more) {
    if (!more.empty()) {
        text += (text.empty() ? "" : "; ") + more;
    }
}

std::string setText(const RatioOfMeans& ratio) {
    switch (ratio.set) {
        case FiellerSet::outside:
            return "the set is all ratios up to the first and from the second number on";
        case FiellerSet::wholeLine:
            return "the set is every ratio: the data say nothing of it";
        case FiellerSet::halfLine:
            return "the set has one end only";
        case FiellerSet::none:
        case FiellerSet::bounded:
            return {};
    }
    return {};
}

Line bootstrapLine(const char* key, const char* method, const std::string& about, const Bootstrap& bootstrap,
                   bool bca) {
    Line line{key,
              method,
              about,
              bootstrap.n,
              bootstrap.estimate,
              bca ? bootstrap.bcaLow : bootstrap.percentileLow,
              bca ? bootstrap.bcaHigh : bootstrap.percentileHigh,
              {},
              {},
              {},
              bootstrap.absentBecause};
    if (line.remark.empty() && bca) {
        line.remark = bootstrap.bcaAbsentBecause;
    }
    if (bootstrap.replicates > 0) {
        add(line.remark, std::to_string(bootstrap.replicates) + " resamples");
    }
    return line;
}

std::vector<Line> linesOf(const CompanionFinding& c) {
    const std::size_t n = c.subjects.size();
    std::vector<Line> lines;
    Line sign{"sign", "Sign test", "median difference", n, c.sign.median, c.sign.ciLow, c.sign.ciHigh, {},
              {},     c.sign.p,    c.sign.absentBecause};
    add(sign.remark, c.sign.intervalAbsentBecause);
    add(sign.remark, std::to_string(c.sign.positive) + " above 0, " + std::to_string(c.sign.negative) +
                         " below, " + std::to_string(c.sign.zeros) + " at 0");
    if (c.sign.achievedConfidence) {
        add(sign.remark, "interval holds with " + confidencePercent(1.0 - *c.sign.achievedConfidence) + " %");
    }
    lines.push_back(std::move(sign));
    Line permutation{"permutation",
                     "Permutation test",
                     "mean difference",
                     n,
                     c.permutation.meanDifference,
                     {},
                     {},
                     {},
                     {},
                     c.permutation.p,
                     c.permutation.absentBecause};
    if (c.permutation.p) {
        permutation.remark = c.permutation.method == "exact"
                                 ? "exact, all " + std::to_string(c.permutation.patterns) + " sign patterns"
                                 : "random, " + std::to_string(c.permutation.patterns) +
                                       " sign patterns, standard error of p " +
                                       plainNumber(c.permutation.monteCarloError.value_or(0.0));
    }
    lines.push_back(std::move(permutation));
    lines.push_back(bootstrapLine("bootstrap_percentile", "Bootstrap, percentile", "mean difference",
                                  c.bootstrap, false));
    lines.push_back(bootstrapLine("bootstrap_bca", "Bootstrap, BCa", "mean difference", c.bootstrap, true));
    Line trimmed{"trimmed_mean",
                 "Trimmed mean",
                 "trimmed mean of the differences",
                 c.trimmed.n,
                 c.trimmed.estimate,
                 c.trimmed.ciLow,
                 c.trimmed.ciHigh,
                 c.trimmed.t,
                 c.trimmed.df,
                 c.trimmed.p,
                 c.trimmed.absentBecause};
    if (c.trimmed.p) {
        trimmed.remark = std::to_string(c.trimmed.cutEachEnd) + " cut off at each end";
    }
    lines.push_back(std::move(trimmed));
    lines.push_back({"log_ratio", "Paired t of logarithms", "ratio of geometric means", c.logRatio.n,
                     c.logRatio.ratio, c.logRatio.ciLow, c.logRatio.ciHigh, c.logRatio.t, c.logRatio.df,
                     c.logRatio.p, c.logRatio.absentBecause});
    Line fieller{"ratio_of_means", "Fieller", "ratio of means", c.ratio.n, c.ratio.ratio,        c.ratio.low,
                 c.ratio.high,     c.ratio.t, c.ratio.df,       c.ratio.p, c.ratio.absentBecause};
    add(fieller.remark, setText(c.ratio));
    if (c.ratio.g) {
        add(fieller.remark, "g = " + plainNumber(*c.ratio.g));
    }
    lines.push_back(std::move(fieller));
    lines.push_back(bootstrapLine("ratio_bootstrap_percentile", "Bootstrap, percentile", "ratio of means",
                                  c.ratioBootstrap, false));
    lines.push_back(
        bootstrapLine("ratio_bootstrap_bca", "Bootstrap, BCa", "ratio of means", c.ratioBootstrap, true));
    return lines;
}

}  // namespace

Table companionsTable(const Study& study, const Findings& findings) {
    const std::string confidence = confidencePercent(findings.plan.alpha) + " % interval";
    Table table;
    table.key = "companions";
    table.title = "The same pairs by other methods";
    table.emptyText = "Nothing is compared yet.";
    table.columns = {
        textColumn("analyte", "Analyte"),
        textColumn("measure", "Measure"),
        textColumn("unit", "Unit"),
        textColumn("food", "Food"),
        textColumn("comparator", "Compared with"),
        textColumn("method", "Method"),
        textColumn("quantity", "Estimate of", "Food against comparator; a ratio has no unit"),
        countColumn("n", "n", "Subjects with both foods"),
        numberColumn("estimate", "Estimate", "", 3,
                     "By the method named in the row (handbook, Robust companions)",
                     {"n", "pairs.food_value", "pairs.comparator_value"}),
        numberColumn("ci_low", confidence + " from", "", 3, "By the method named in the row"),
        numberColumn("ci_high", confidence + " to", "", 3, "By the method named in the row"),
        numberColumn("t", "t", "", 2, "Estimate / SE on the scale of the method"),
        numberColumn("df", "df", "", 0),
        pColumn("p", "p",
                "Two-sided, not adjusted; hypothesis: difference 0, or ratio 1, or signs equally likely"),
        textColumn("remark", "Remark")};
    for (const CompanionFinding& c : findings.companions.comparisons) {
        for (Line& line : linesOf(c)) {
            const bool ratio = line.about.find("ratio") != std::string::npos;
            Row row;
            row.key = c.analyte + "/" + c.measure + "/" + c.food + "/" + line.key;
            row.about = {c.analyte, c.measure, c.food, ""};
            row.muted = !line.estimate && !line.p;
            row.cells = {c.analyte,
                         measureLabel(c.measure),
                         cellOf(ratio ? std::string{} : c.unit),
                         labelOf(study, c.food),
                         labelOf(study, c.comparator),
                         std::string{line.method},
                         line.about,
                         cellOf(line.n),
                         cellOf(line.estimate),
                         cellOf(line.low),
                         cellOf(line.high),
                         cellOf(line.t),
                         cellOf(line.df),
                         cellOf(line.p),
                         cellOf(std::move(line.remark))};
            table.rows.push_back(std::move(row));
        }
    }
    if (!table.rows.empty()) {
        table.notes = {
            "These stand beside the paired t test and replace nothing; none is adjusted for several "
            "foods. Seed of the resampling: " +
                std::to_string(findings.plan.seed) + ".",
            "A p above the level is no evidence that two foods are alike; read the interval."};
    }
    return table;
}

Table ranksTable(const Study& study, const Findings& findings) {
    Table table;
    table.key = "ranks";
    table.title = "All foods by ranks (Friedman)";
    table.emptyText = "Ranks over foods need three foods or more.";
    table.columns = {
        textColumn("analyte", "Analyte"),
        textColumn("measure", "Measure"),
        textColumn("quantity", "Quantity"),
        textColumn("food", "Food"),
        textColumn("comparator", "Compared with"),
        countColumn("n", "n", "Subjects with every food"),
        numberColumn("value", "Value", "", 3,
                     "Statistic of the row (handbook, Robust companions), or difference of mean ranks",
                     {"n"}),
        numberColumn("ci_low", confidencePercent(findings.plan.alpha) + " % CI from", "", 3),
        numberColumn("ci_high", confidencePercent(findings.plan.alpha) + " % CI to", "", 3),
        numberColumn("t", "t", "", 2),
        numberColumn("num_df", "df", "", 0),
        numberColumn("den_df", "df below", "", 0),
        pColumn("p", "p", "Hypothesis: within a subject every order of the foods is equally likely",
                {"value", "t", "num_df", "den_df"}),
        pColumn("p_adjusted", "p adjusted"),
        textColumn("remark", "Remark")};
    for (const RankFinding& finding : findings.companions.ranks) {
        const Friedman& f = finding.friedman;
        const auto begin = [&](const std::string& what, const std::string& key) {
            Row row;
            row.key = finding.analyte + "/" + finding.measure + "/" + key;
            row.about = {finding.analyte, finding.measure, "", ""};
            row.cells = {finding.analyte, measureLabel(finding.measure), what};
            return row;
        };
        const auto test = [&](const std::string& what, const std::string& key,
                              const std::optional<double>& value, const std::optional<double>& df,
                              const std::optional<double>& below, const std::optional<double>& p,
                              const std::string& because) {
            Row row = begin(what, key);
            row.muted = !p && !value;
            row.cells.insert(row.cells.end(),
                             {Cell{}, Cell{}, cellOf(f.subjects), cellOf(value), Cell{}, Cell{}, Cell{},
                              cellOf(df), cellOf(below), cellOf(p), Cell{}, cellOf(because)});
            table.rows.push_back(std::move(row));
        };
        test("Friedman χ²", "chi_square", f.chiSquare, f.df, {}, f.chiSquareP, f.absentBecause);
        test("F (Iman and Davenport)", "f", f.f, f.df, f.denominatorDf, f.fP,
             f.absentBecause.empty() ? f.fAbsentBecause : f.absentBecause);
        test("Exact", "exact", {}, {}, {}, f.exactP,
             f.absentBecause.empty() ? f.exactAbsentBecause : f.absentBecause);
        test("Kendall's W", "kendall_w", f.kendallW, {}, {}, {}, f.absentBecause);
        const auto pairs = [&](const std::vector<FriedmanPair>& list, const std::string& family,
                               const std::string& key) {
            for (const FriedmanPair& pair : list) {
                const std::string& a = finding.foods[pair.foodA];
                const std::string& b = finding.foods[pair.foodB];
                Row row = begin("Mean ranks, " + family, key + "/" + a + "/" + b);
                row.about.food = a;
                row.cells.insert(row.cells.end(),
                                 {Cell{labelOf(study, a)}, Cell{labelOf(study, b)}, cellOf(f.subjects),
                                  Cell{pair.meanRankDifference}, cellOf(pair.ciLow), cellOf(pair.ciHigh),
                                  cellOf(pair.t), cellOf(f.denominatorDf), Cell{}, cellOf(pair.p),
                                  cellOf(pair.pAdjusted), cellOf(f.pairsAbsentBecause)});
                table.rows.push_back(std::move(row));
            }
        };
        pairs(f.againstComparator, "against the comparator", "comparator");
        pairs(f.allPairs, "all pairs", "pairs");
        for (const FriedmanLeftOut& left : f.leftOut) {
            Row row = begin("left out: subject " + left.subject, "left/" + left.subject);
            row.muted = true;
            row.cells.resize(table.columns.size());
            row.cells.back() = left.reason;
            table.rows.push_back(std::move(row));
        }
    }
    if (!table.rows.empty()) {
        table.notes = {
            "Pairs by Conover's rule, to be looked at only where the test over all foods rejects."};
    }
    return table;
}

}  // namespace aftercurve
