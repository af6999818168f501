#include "core/compare/fixed_design.h"

#include <Eigen/Eigenvalues>
#include <cmath>

namespace aftercurve {

namespace {

using Eigen::Index;

// As R's lm and lme4: a column counts as explained below this share of its length.
constexpr double rankTolerance = 1e-7;
// On the scale of squares, for directions that do not vary within subjects.
constexpr double withinTolerance = 1e-10;

Index at(std::size_t i) {
    return static_cast<Index>(i);
}

struct Basis {
    Eigen::MatrixXd q;  ///< orthonormal
    std::vector<std::size_t> kept;
    std::vector<std::size_t> dropped;
};

/// Gram–Schmidt in the given order, each column projected twice so that the basis is orthogonal to rounding.
Basis orthonormal(const Eigen::MatrixXd& columns, std::span<const std::size_t> order) {
    Basis basis;
    basis.q.resize(columns.rows(), columns.cols());
    Index rank = 0;
    for (const std::size_t j : order) {
        Eigen::VectorXd rest = columns.col(at(j));
        const double length = rest.norm();
        for (int pass = 0; pass < 2; ++pass) {
            const auto earlier = basis.q.leftCols(rank);
            rest -= earlier * (earlier.transpose() * rest);
        }
        if (rest.norm() <= rankTolerance * length) {
            basis.dropped.push_back(j);
        } else {
            basis.q.col(rank++) = rest.normalized();
            basis.kept.push_back(j);
        }
    }
    basis.q.conservativeResize(Eigen::NoChange, rank);
    return basis;
}

std::vector<FixedDesign::Term> termsOf(const MixedModelData& data) {
    std::vector<FixedDesign::Term> terms{{std::nullopt, 0}};
    for (std::size_t f = 0; f < data.factors.size(); ++f) {
        for (std::size_t level = 1; level < data.factors[f].levels.size(); ++level) {
            terms.push_back({f, level});
        }
    }
    return terms;
}

double entry(const MixedModelData& data, const MixedModelRow& row, const FixedDesign::Term& term) {
    if (!term.factor || row.levels[*term.factor] == term.level) {
        return 1.0;
    }
    return data.factors[*term.factor].mayBeAbsent && row.levels[*term.factor] == 0 ? -1.0 : 0.0;
}

Eigen::MatrixXd columnsOf(const MixedModelData& data, std::span<const FixedDesign::Term> terms) {
    Eigen::MatrixXd columns(at(data.rows.size()), at(terms.size()));
    for (std::size_t i = 0; i < data.rows.size(); ++i) {
        for (std::size_t j = 0; j < terms.size(); ++j) {
            columns(at(i), at(j)) = entry(data, data.rows[i], terms[j]);
        }
    }
    return columns;
}

Eigen::MatrixXd sumBySubject(const Eigen::MatrixXd& rows, std::span<const std::size_t> subject, Index n) {
    Eigen::MatrixXd sum = Eigen::MatrixXd::Zero(n, rows.cols());
    for (std::size_t i = 0; i < subject.size(); ++i) {
        sum.row(at(subject[i])) += rows.row(at(i));
    }
    return sum;
}

Eigen::MatrixXd lessSubjectMean(const Eigen::MatrixXd& rows, const FixedDesign& design) {
    Eigen::MatrixXd centred = rows;
    const Eigen::MatrixXd sum = sumBySubject(rows, design.subject, design.rowsOfSubject.size());
    for (std::size_t i = 0; i < design.subject.size(); ++i) {
        const Index s = at(design.subject[i]);
        centred.row(at(i)) -= sum.row(s) / design.rowsOfSubject[s];
    }
    return centred;
}

/// Turns the basis so that what is constant within subjects comes first, and makes that exact.
void splitWithin(FixedDesign& design) {
    const Eigen::MatrixXd centred = lessSubjectMean(design.basis, design);
    // Ascending eigenvalues: the directions without variation within subjects first.
    const Eigen::SelfAdjointEigenSolver<Eigen::MatrixXd> eigen(centred.transpose() * centred);
    design.basis = design.basis * eigen.eigenvectors();
    Index constant = 0;
    while (constant < eigen.eigenvalues().size() && eigen.eigenvalues()[constant] <= withinTolerance) {
        ++constant;
    }
    for (Index c = 0; c < constant; ++c) {
        const Eigen::MatrixXd sum =
            sumBySubject(design.basis.col(c), design.subject, design.rowsOfSubject.size());
        for (std::size_t i = 0; i < design.subject.size(); ++i) {
            const Index s = at(design.subject[i]);
            design.basis(at(i), c) = sum(s, 0) / design.rowsOfSubject[s];
        }
    }
    design.within = lessSubjectMean(design.basis, design);
    design.within.leftCols(constant).setZero();
    design.withinRank = static_cast<std::size_t>(design.basis.cols() - constant);
}

Eigen::MatrixXd keptInBasis(const FixedDesign& design) {
    Eigen::MatrixXd kept(design.termsInBasis.rows(), at(design.kept.size()));
    for (std::size_t j = 0; j < design.kept.size(); ++j) {
        kept.col(at(j)) = design.termsInBasis.col(at(design.kept[j]));
    }
    return kept;
}

}  // namespace

FixedDesign fixedDesign(const MixedModelData& data, std::size_t subjects) {
    FixedDesign design;
    design.terms = termsOf(data);
    design.rowsOfSubject = Eigen::VectorXd::Zero(at(subjects));
    design.subject.reserve(data.rows.size());
    for (const MixedModelRow& row : data.rows) {
        design.subject.push_back(row.subject);
        design.rowsOfSubject[at(row.subject)] += 1.0;
    }
    const Eigen::MatrixXd columns = columnsOf(data, design.terms);
    std::vector<std::size_t> order(design.terms.size());
    for (std::size_t j = 0; j < order.size(); ++j) {
        order[j] = j;
    }
    Basis basis = orthonormal(columns, order);
    design.basis = std::move(basis.q);
    design.kept = std::move(basis.kept);
    design.dropped = std::move(basis.dropped);
    splitWithin(design);
    design.subjectSum = sumBySubject(design.basis, design.subject, at(subjects));
    design.termsInBasis = design.basis.transpose() * columns;
    design.keptTransposed.compute(keptInBasis(design).transpose());
    design.logDetKept = design.keptTransposed.matrixLU().diagonal().array().abs().log().sum();
    return design;
}

std::optional<Eigen::VectorXd> inBasis(const FixedDesign& design, const Eigen::VectorXd& function) {
    Eigen::VectorXd keptPart(at(design.kept.size()));
    for (std::size_t j = 0; j < design.kept.size(); ++j) {
        keptPart[at(j)] = function[at(design.kept[j])];
    }
    const Eigen::VectorXd k = design.keptTransposed.solve(keptPart);
    for (const std::size_t j : design.dropped) {
        const double implied = design.termsInBasis.col(at(j)).dot(k);
        if (std::abs(implied - function[at(j)]) > rankTolerance) {
            return std::nullopt;
        }
    }
    return k;
}

Eigen::MatrixXd typeThree(const FixedDesign& design, std::size_t factor) {
    std::vector<std::size_t> order;
    for (const bool own : {false, true}) {
        for (std::size_t j = 0; j < design.terms.size(); ++j) {
            if ((design.terms[j].factor == factor) == own) {
                order.push_back(j);
            }
        }
    }
    const Basis last = orthonormal(design.termsInBasis, order);
    Eigen::MatrixXd kept(design.termsInBasis.rows(), at(last.kept.size()));
    std::vector<Index> ownRows;
    for (std::size_t j = 0; j < last.kept.size(); ++j) {
        kept.col(at(j)) = design.termsInBasis.col(at(last.kept[j]));
        if (design.terms[last.kept[j]].factor == factor) {
            ownRows.push_back(at(j));
        }
    }
    const Eigen::MatrixXd coefficients = kept.partialPivLu().inverse();
    Eigen::MatrixXd contrasts(at(ownRows.size()), coefficients.cols());
    for (std::size_t i = 0; i < ownRows.size(); ++i) {
        contrasts.row(at(i)) = coefficients.row(ownRows[i]);
    }
    return contrasts;
}

}  // namespace aftercurve
