#pragma once

#include <Eigen/Core>
#include <Eigen/LU>
#include <cstddef>
#include <optional>
#include <span>
#include <string>
#include <vector>

#include "core/compare/mixed_model.h"

namespace aftercurve {

/// The fixed part of a mixed model in a basis that suits the numbers. Internal to core/compare.
/// The columns a person thinks of ("terms") are the intercept and, for each factor, one indicator for each
/// level after the first (treatment coding; for a factor that may be absent 1 at the level, −1 at the first
/// one and 0 elsewhere, so that its effects sum to 0). They are taken in that order; one that the earlier
/// ones explain (what is left of it is below 1e-7 of its length) is dropped and named. The columns of `basis`
/// are orthonormal and span the rest. They are turned so that those constant within every subject come first;
/// their part within subjects is exactly 0.
struct FixedDesign {
    struct Term {
        std::optional<std::size_t> factor;  ///< nothing: the intercept
        std::size_t level = 0;
    };

    std::vector<Term> terms;
    std::vector<std::size_t> kept;     ///< positions in `terms`
    std::vector<std::size_t> dropped;  ///< positions in `terms`
    Eigen::MatrixXd termsInBasis;      ///< rank × terms: basisᵀ · (all columns)
    Eigen::MatrixXd basis;             ///< rows × rank
    Eigen::MatrixXd within;            ///< basis − its subject means
    Eigen::MatrixXd subjectSum;        ///< subjects × rank: basis summed over the rows of a subject
    Eigen::VectorXd rowsOfSubject;     ///< n of each subject
    std::vector<std::size_t> subject;  ///< of each row
    double logDetKept = 0.0;           ///< log |det| of the kept columns in the basis
    std::size_t withinRank = 0;        ///< columns of `basis` that vary within subjects
    Eigen::PartialPivLU<Eigen::MatrixXd> keptTransposed;  ///< of the kept columns in the basis, transposed

    std::size_t rank() const { return static_cast<std::size_t>(basis.cols()); }
};

/// Every row's subject is below `subjects` and each subject has a row.
FixedDesign fixedDesign(const MixedModelData& data, std::size_t subjects);

/// Coefficients k in the basis of a function of the terms' coefficients; nothing where it is not estimable,
/// i.e. where the data cannot tell its value from another.
std::optional<Eigen::VectorXd> inBasis(const FixedDesign& design, const Eigen::VectorXd& function);

/// The hypothesis that a factor has no effect given all others, one row an independent contrast, in the
/// basis: the coefficients of the factor's columns that remain when it enters last. No rows where the others
/// explain it.
Eigen::MatrixXd typeThree(const FixedDesign& design, std::size_t factor);

}  // namespace aftercurve
