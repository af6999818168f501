#include "core/compare/model_residuals.h"

#include <Eigen/Cholesky>
#include <algorithm>
#include <cmath>
#include <map>

#include "core/compare/fixed_design.h"
#include "core/compare/scaled.h"

namespace aftercurve {

namespace {

using Eigen::Index;

Index at(std::size_t i) {
    return static_cast<Index>(i);
}

/// Subjects without gaps, in the order of their numbers.
std::map<std::size_t, std::size_t> placesOf(const MixedModelData& data) {
    std::map<std::size_t, std::size_t> place;
    for (const MixedModelRow& row : data.rows) {
        place.emplace(row.subject, 0);
    }
    std::size_t next = 0;
    for (auto& [subject, position] : place) {
        position = next++;
    }
    return place;
}

}  // namespace

ModelResiduals modelResiduals(const MixedModelData& data, const MixedModel& model) {
    ModelResiduals result;
    if (!model.absentBecause.empty() || !model.varianceResidual || !model.varianceSubject) {
        result.absentBecause =
            model.absentBecause.empty() ? "the model has no variances" : model.absentBecause;
        return result;
    }
    const auto places = placesOf(data);
    MixedModelData compact = data;
    std::vector<double> values;
    for (MixedModelRow& row : compact.rows) {
        row.subject = places.at(row.subject);
        values.push_back(row.value);
    }
    const auto scaled = scaledNearOne(values);
    if (!scaled) {
        result.absentBecause = "a value is not a finite number";
        return result;
    }
    const FixedDesign design = fixedDesign(compact, places.size());
    const double lambda = *model.varianceSubject / *model.varianceResidual;
    const Eigen::Map<const Eigen::VectorXd> y(scaled->value.data(), at(scaled->value.size()));
    // V⁻¹ = I − λ/(1 + λn)·11ᵀ within a subject.
    const Eigen::ArrayXd shrink = lambda / (1.0 + lambda * design.rowsOfSubject.array());
    Eigen::VectorXd sumOfY = Eigen::VectorXd::Zero(design.rowsOfSubject.size());
    for (std::size_t i = 0; i < design.subject.size(); ++i) {
        sumOfY[at(design.subject[i])] += y[at(i)];
    }
    const Eigen::MatrixXd shrunk = design.subjectSum.array().colwise() * shrink;
    const Eigen::MatrixXd information =
        design.basis.transpose() * design.basis - design.subjectSum.transpose() * shrunk;
    const Eigen::VectorXd coefficients =
        information.ldlt().solve(design.basis.transpose() * y - shrunk.transpose() * sumOfY);
    const Eigen::VectorXd mean = design.basis * coefficients;
    const Eigen::VectorXd effect = (sumOfY - design.subjectSum * coefficients).array() * shrink;
    std::vector<double> residuals;
    for (std::size_t i = 0; i < values.size(); ++i) {
        const double u = effect[at(design.subject[i])];
        const auto fitted = scaledBack(mean[at(i)] + u, scaled->exponent);
        const auto residual = scaledBack(y[at(i)] - mean[at(i)] - u, scaled->exponent);
        if (!fitted || !residual) {
            result = {};
            result.absentBecause = "a result is too large for the number format";
            return result;
        }
        ModelResidual one{i, *fitted, *residual, {}};
        if (const double ratio = *residual / std::sqrt(*model.varianceResidual); std::isfinite(ratio)) {
            one.scaled = ratio;
        }
        result.residuals.push_back(one);
        residuals.push_back(*residual);
    }
    std::vector<double> effects;
    for (const auto& [subject, place] : places) {
        effects.push_back(scaledBack(effect[at(place)], scaled->exponent).value_or(0.0));
        result.subjects.push_back({subject, effects.back()});
    }
    result.residualQuantiles = normalQuantiles(residuals);
    result.subjectQuantiles = normalQuantiles(effects);
    return result;
}

}  // namespace aftercurve
