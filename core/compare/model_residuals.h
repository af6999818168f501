#pragma once

#include <cstddef>
#include <optional>
#include <string>
#include <vector>

#include "core/compare/mixed_model.h"
#include "core/compare/normal_quantiles.h"

namespace aftercurve {

/// One row of the data, seen through the fitted model.
struct ModelResidual {
    std::size_t row = 0;           ///< position in MixedModelData::rows
    double fitted = 0.0;           ///< xᵀβ + u of its subject, in the unit of the values
    double residual = 0.0;         ///< value − fitted
    std::optional<double> scaled;  ///< residual / √(residual variance)
};

/// The predicted effect of one subject.
struct SubjectEffect {
    std::size_t subject = 0;  ///< as numbered in the data
    double effect = 0.0;
};

/// What the assumptions of a mixed model are looked at by: conditional residuals e = y − xᵀβ − u and
/// predicted subject effects (BLUP) u = λ/(1 + λn)·Σ(y − xᵀβ) over the n rows of the subject, λ = σ²u/σ², β
/// by generalised least squares at that λ. Residuals are plotted over the fitted values (a fan or a bend
/// tells of a variance or a mean that the model misses) and over normal quantiles. Residuals of one model are
/// correlated and the subject effects shrink towards 0, so that a test of their normality would not hold its
/// level; none is made. Absent, with the reason: the model is; a value is not finite. Source: Pinheiro &
/// Bates 2000, Mixed-Effects Models in S and S-PLUS, ch. 4 (from memory).
struct ModelResiduals {
    std::vector<ModelResidual> residuals;  ///< in the order of the rows
    std::vector<SubjectEffect> subjects;   ///< by number
    NormalQuantiles residualQuantiles;     ///< index: position in `residuals`
    NormalQuantiles subjectQuantiles;      ///< index: position in `subjects`
    std::string absentBecause;
};

/// `model` is mixedModel of the same data.
ModelResiduals modelResiduals(const MixedModelData& data, const MixedModel& model);

}  // namespace aftercurve
