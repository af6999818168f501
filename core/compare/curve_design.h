#pragma once

#include <Eigen/Core>
#include <cstddef>
#include <optional>
#include <string>
#include <vector>

#include "core/compare/time_course.h"

namespace aftercurve {

/// Subjects whose rows have the same foods, times, periods and curves: they share one covariance. Internal to
/// core/compare. Rows are sorted by food, visit and time.
struct CurveBlock {
    std::vector<Eigen::Index> cell;
    std::vector<Eigen::Index> period;  ///< column of X, −1: none
    std::vector<Eigen::Index> time;
    std::vector<Eigen::Index> curve;  ///< number within the subject
    std::vector<Eigen::Index> food;   ///< number within the subject
    Eigen::MatrixXd value;            ///< rows × subjects, less the least squares fit, residual SD 1

    Eigen::Index rows() const { return value.rows(); }
    Eigen::Index subjects() const { return value.cols(); }
};

/// A function of the means of the cells and of the periods' effects.
struct CurveFunction {
    Eigen::VectorXd cells;
    Eigen::VectorXd periods;  ///< by level after the first
};

/// The fixed part and the values of a model of curves. Unused foods, times and periods are gone; times
/// ascend. Columns of X: the cells, then the periods that the cells leave something of.
struct CurveDesign {
    std::vector<std::size_t> foods;    ///< original
    std::vector<std::size_t> times;    ///< original
    std::vector<std::size_t> periods;  ///< original; fewer than two: no period in the model
    std::vector<double> timesMin;
    Eigen::MatrixXi cellOf;  ///< foods × times; −1: no value
    std::vector<std::size_t> valuesOfCell;
    std::vector<std::size_t> keptPeriods;     ///< levels (1 is the second)
    std::vector<std::size_t> droppedPeriods;  ///< levels
    Eigen::MatrixXd droppedAs;                ///< columns × dropped: each as a sum of columns of X
    Eigen::VectorXd leastSquares;             ///< what was taken out of the scaled values
    double unit = 1.0;                        ///< residual SD; value = unit · scaled · 2^exponent
    int exponent = 0;
    std::size_t rows = 0;
    std::size_t subjects = 0;
    std::size_t curves = 0;
    std::vector<CurveBlock> blocks;
    std::vector<std::string> notes;
    std::string absentBecause;

    Eigen::Index cells() const { return static_cast<Eigen::Index>(valuesOfCell.size()); }
    Eigen::Index columns() const { return cells() + static_cast<Eigen::Index>(keptPeriods.size()); }
};

CurveDesign curveDesign(const TimeCourseData& data);

/// A function with every coefficient 0.
CurveFunction noFunction(const CurveDesign& design);

/// Adds the mean of a cell times `weight`, equal weight to the periods.
void addCell(const CurveDesign& design, Eigen::Index cell, double weight, CurveFunction& function);

/// Coefficients by column of X; nothing where the data cannot tell the function's value.
std::optional<Eigen::VectorXd> inColumns(const CurveDesign& design, const CurveFunction& function);

}  // namespace aftercurve
