// Mixed models with carry-over and families of comparisons against R on 210 invented studies of all kinds:
// tests/reference/model_families.R (lme4, lmerTest, pbkrtest, emmeans, mvtnorm). Satterthwaite's df come from
// numerical second derivatives there and hold to about 7 digits; the rest to 9 or more.
#include <gtest/gtest.h>

#include <algorithm>
#include <cmath>
#include <map>
#include <string>
#include <vector>

#include "core/compare/mixed_model.h"
#include "core/compare/model_comparisons.h"
#include "tests/support/close.h"
#include "tests/support/reference_csv.h"

namespace aftercurve {
namespace {

using test::isClose;
using test::readReference;
using test::ReferenceRow;
using test::Tolerance;

std::size_t positionOf(std::vector<std::string>& names, const std::string& name) {
    const auto found = std::find(names.begin(), names.end(), name);
    if (found != names.end()) {
        return static_cast<std::size_t>(found - names.begin());
    }
    names.push_back(name);
    return names.size() - 1;
}

MixedModelData dataOf(const std::vector<ReferenceRow>& rows) {
    MixedModelData data;
    for (const std::string name : {"food", "period", "sequence", "previous"}) {
        if (rows.front().text(name) == "NA") {
            continue;
        }
        ModelFactor factor{name == "previous" ? "carry-over" : name, {}, name == "previous"};
        for (const ReferenceRow& row : rows) {
            if (row.text(name) != "0") {
                positionOf(factor.levels, row.text(name));
            }
        }
        std::sort(factor.levels.begin(), factor.levels.end());
        data.factors.push_back(std::move(factor));
    }
    std::vector<std::string> subjects;
    for (const ReferenceRow& row : rows) {
        MixedModelRow r;
        r.subject = positionOf(subjects, row.text("subject"));
        r.value = row.number("value").value();
        for (ModelFactor& factor : data.factors) {
            const std::string level = row.text(factor.mayBeAbsent ? "previous" : factor.name);
            r.levels.push_back(level == "0" ? noLevel : positionOf(factor.levels, level));
        }
        data.rows.push_back(std::move(r));
    }
    return data;
}

struct Fitted {
    MixedModelData data;
    MixedModel model;
    std::map<ModelAdjustment, ModelComparisons> pairs, control;

    std::size_t difference(const ReferenceRow& row, const std::string& minus) const {
        const std::vector<std::string>& foods = data.factors[0].levels;
        for (std::size_t i = 0; i < model.differences.size(); ++i) {
            const ModelDifference& d = model.differences[i];
            if (foods[d.level] == row.text("food") && foods[d.minus] == minus) {
                return i;
            }
        }
        ADD_FAILURE() << "no difference " << row.text("food") << " - " << minus;
        return 0;
    }
};

const ModelComparison& comparisonOf(const ModelComparisons& family, std::size_t difference) {
    return *std::find_if(family.comparisons.begin(), family.comparisons.end(),
                         [&](const ModelComparison& c) { return c.difference == difference; });
}

class FamiliesAgainstR : public testing::Test {
  protected:
    static std::map<std::string, Fitted>& fits() {
        static std::map<std::string, Fitted> made = fitted();
        return made;
    }

    static std::map<std::string, Fitted> fitted() {
        std::map<std::string, std::vector<ReferenceRow>> byStudy;
        for (const ReferenceRow& row : readReference("family_rows.csv")) {
            byStudy[row.text("study")].push_back(row);
        }
        std::map<std::string, Fitted> made;
        for (const auto& [name, rows] : byStudy) {
            for (const DfMethod method : {DfMethod::satterthwaite, DfMethod::kenwardRoger}) {
                Fitted f;
                f.data = dataOf(rows);
                MixedModelOptions options;
                options.comparator = 0;
                options.dfMethod = method;
                f.model = mixedModel(f.data, options);
                for (const ModelAdjustment a :
                     {ModelAdjustment::bonferroni, ModelAdjustment::holm, ModelAdjustment::hochberg,
                      ModelAdjustment::benjaminiHochberg, ModelAdjustment::tukey}) {
                    if (suits(a, ModelFamily::allPairs)) {
                        f.pairs[a] = modelComparisons(f.model, {ModelFamily::allPairs, a, 0.05, 0});
                    }
                    if (suits(a, ModelFamily::againstComparator)) {
                        f.control[a] =
                            modelComparisons(f.model, {ModelFamily::againstComparator, a, 0.05, 0});
                    }
                }
                made[name + "/" + std::string(wordFor(method))] = std::move(f);
            }
        }
        return made;
    }

    static std::string keyOf(const ReferenceRow& row) { return row.text("study") + "/" + row.text("method"); }
    static bool isNumerical(const ReferenceRow& row) { return row.text("method") == "satterthwaite"; }
    static Tolerance forDf(const ReferenceRow& row) { return {.relative = isNumerical(row) ? 5e-6 : 1e-9}; }
    static Tolerance forP(const ReferenceRow& row) { return {.relative = isNumerical(row) ? 3e-5 : 1e-8}; }
};

TEST_F(FamiliesAgainstR, Variances) {
    std::size_t boundaries = 0;
    std::size_t studies = 0;
    for (const ReferenceRow& row : readReference("family_fits.csv")) {
        const MixedModel& fit = fits().at(row.text("study") + "/satterthwaite").model;
        ASSERT_TRUE(fit.absentBecause.empty()) << row.text("study") << fit.absentBecause;
        const double residual = row.number("variance_residual").value();
        const double subject = row.number("variance_subject").value();
        EXPECT_TRUE(isClose(fit.varianceResidual, residual, {.relative = 1e-9})) << row.text("study");
        EXPECT_TRUE(isClose(fit.varianceSubject, subject, {.absolute = 1e-9 * residual, .relative = 1e-9}));
        EXPECT_TRUE(isClose(fit.remlLogLikelihood, row.number("log_likelihood"), {.relative = 1e-10}));
        EXPECT_EQ(fit.boundary, subject == 0.0) << row.text("study");
        boundaries += fit.boundary ? 1U : 0U;
        ++studies;
    }
    EXPECT_EQ(studies, 210U);
    EXPECT_EQ(boundaries, 38U);
}

TEST_F(FamiliesAgainstR, TypeThreeTestsWithCarryOver) {
    std::size_t carried = 0;
    for (const ReferenceRow& row : readReference("family_terms.csv")) {
        const MixedModel& fit = fits().at(keyOf(row)).model;
        const auto term = std::find_if(fit.terms.begin(), fit.terms.end(),
                                       [&](const ModelTerm& t) { return t.factor == row.text("term"); });
        ASSERT_NE(term, fit.terms.end()) << keyOf(row);
        EXPECT_EQ(static_cast<double>(term->numeratorDf), row.number("num_df"));
        EXPECT_TRUE(isClose(term->denominatorDf, row.number("den_df"), forDf(row)))
            << keyOf(row) << term->factor;
        EXPECT_TRUE(isClose(term->f, row.number("f"), {.absolute = 1e-10, .relative = 2e-9}))
            << keyOf(row) << term->factor;
        EXPECT_TRUE(isClose(term->p, row.number("p"), forP(row))) << keyOf(row) << term->factor;
        carried += term->factor == "carry-over" ? 1U : 0U;
    }
    EXPECT_EQ(carried, 126U);
}

TEST_F(FamiliesAgainstR, MeansWithNothingCarriedOver) {
    for (const ReferenceRow& row : readReference("family_means.csv")) {
        const Fitted& f = fits().at(keyOf(row));
        const auto mean = std::find_if(f.model.means.begin(), f.model.means.end(), [&](const ModelMean& m) {
            return f.data.factors[0].levels[m.level] == row.text("food");
        });
        ASSERT_NE(mean, f.model.means.end());
        const double se = row.number("se").value();
        EXPECT_TRUE(
            isClose(mean->estimate, row.number("estimate"), {.absolute = 1e-9 * se, .relative = 1e-11}))
            << keyOf(row);
        EXPECT_TRUE(isClose(mean->se, se, {.relative = 1e-9})) << keyOf(row);
        EXPECT_TRUE(isClose(mean->df, row.number("df"), forDf(row))) << keyOf(row);
    }
}

TEST_F(FamiliesAgainstR, AllPairs) {
    std::size_t compared = 0;
    for (const ReferenceRow& row : readReference("family_pairs.csv")) {
        const Fitted& f = fits().at(keyOf(row));
        const std::size_t i = f.difference(row, row.text("minus"));
        const ModelDifference& d = f.model.differences[i];
        const double se = row.number("se").value();
        EXPECT_TRUE(isClose(d.estimate, row.number("estimate"), {.absolute = 1e-9 * se, .relative = 1e-11}));
        EXPECT_TRUE(isClose(d.se, se, {.relative = 1e-9})) << keyOf(row);
        EXPECT_TRUE(isClose(d.df, row.number("df"), forDf(row))) << keyOf(row);
        EXPECT_TRUE(isClose(d.p, row.number("p"), forP(row))) << keyOf(row);
        for (const auto& [adjustment, column] :
             {std::pair{ModelAdjustment::holm, "holm"}, std::pair{ModelAdjustment::hochberg, "hochberg"},
              std::pair{ModelAdjustment::benjaminiHochberg, "fdr"}}) {
            EXPECT_TRUE(
                isClose(comparisonOf(f.pairs.at(adjustment), i).pAdjusted, row.number(column), forP(row)))
                << keyOf(row) << column;
        }
        // ptukey and qtukey have some 4 digits of small p and of widths for few df
        // (studentized_range_test.cpp).
        const ModelComparison& tukey = comparisonOf(f.pairs.at(ModelAdjustment::tukey), i);
        const ModelComparison& bonferroni = comparisonOf(f.pairs.at(ModelAdjustment::bonferroni), i);
        EXPECT_TRUE(isClose(tukey.pAdjusted, row.number("tukey"), {.absolute = 2e-6, .relative = 3e-5}))
            << keyOf(row);
        EXPECT_TRUE(isClose(tukey.ciLow, row.number("tukey_low"), {.absolute = 1e-3 * se})) << keyOf(row);
        EXPECT_TRUE(isClose(bonferroni.ciLow, row.number("bonferroni_low"),
                            {.absolute = (isNumerical(row) ? 3e-5 : 1e-8) * se}))
            << keyOf(row);
        ++compared;
    }
    EXPECT_EQ(compared, 2880U);
}

TEST_F(FamiliesAgainstR, AgainstTheFirstFood) {
    // A lattice rule takes some seconds for a family, so that it is tried for the first few that need one.
    constexpr std::size_t mostLattices = 6;
    std::map<std::string, ModelComparisons> byLattice;
    std::map<std::string, ModelComparisons> byProduct;
    std::size_t products = 0;
    std::size_t general = 0;
    for (const ReferenceRow& row : readReference("family_control.csv")) {
        const Fitted& f = fits().at(keyOf(row));
        const std::size_t i = f.difference(row, f.data.factors[0].levels[0]);
        for (const auto& [adjustment, column] :
             {std::pair{ModelAdjustment::holm, "holm"}, std::pair{ModelAdjustment::hochberg, "hochberg"},
              std::pair{ModelAdjustment::benjaminiHochberg, "fdr"}}) {
            EXPECT_TRUE(
                isClose(comparisonOf(f.control.at(adjustment), i).pAdjusted, row.number(column), forP(row)))
                << keyOf(row) << column;
        }
        const bool product = row.text("how") == "product";
        std::map<std::string, ModelComparisons>& known = product ? byProduct : byLattice;
        if (!known.contains(keyOf(row))) {
            if (!product && known.size() == mostLattices) {
                continue;
            }
            known[keyOf(row)] = modelComparisons(
                f.model, {ModelFamily::againstComparator, ModelAdjustment::dunnett, 0.05, 0});
        }
        const ModelComparisons& dunnett = known.at(keyOf(row));
        const auto p = comparisonOf(dunnett, i).pAdjusted;
        const double expected = row.number("max_t").value();
        if (product) {
            EXPECT_TRUE(isClose(p, expected, {.absolute = 1e-12, .relative = isNumerical(row) ? 3e-5 : 2e-8}))
                << keyOf(row);
            ++products;
        } else {
            EXPECT_TRUE(isClose(p, expected, {.absolute = 1e-6, .relative = 5e-5})) << keyOf(row);
            ++general;
        }
        // emmeans: whole df (rounded) and 3 digits by chance.
        const double df = row.number("df").value();
        if (std::abs(df - std::round(df)) < 1e-6) {
            EXPECT_TRUE(isClose(p, row.number("emmeans_mvt"), {.absolute = 3e-3})) << keyOf(row);
        }
    }
    EXPECT_EQ(products, 588U);
    EXPECT_GE(general, 3 * mostLattices);
}

}  // namespace
}  // namespace aftercurve
