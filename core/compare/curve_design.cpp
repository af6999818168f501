#include "core/compare/curve_design.h"

#include <Eigen/Cholesky>
#include <algorithm>
#include <cmath>
#include <map>
#include <tuple>

#include "core/base/number_text.h"
#include "core/compare/scaled.h"

namespace aftercurve {

namespace {

using Eigen::Index;
using Eigen::MatrixXd;
using Eigen::VectorXd;

// As in pairedDifferences, for values scaled to a largest of about 1.
constexpr double resolution = 1e-11;
constexpr double rankTolerance = 1e-7;
// 8 bytes each, two copies.
constexpr double largestBlocks = 3e7;
constexpr Index mostColumns = 1000;

Index at(std::size_t i) {
    return static_cast<Index>(i);
}

struct SortedRow {
    TimeCourseRow row;
    Index cell = 0;
    std::size_t period = 0;  ///< position among the used
};

/// Positions of the used ones among themselves.
std::vector<std::size_t> usedOf(std::vector<bool> used) {
    std::vector<std::size_t> result;
    for (std::size_t i = 0; i < used.size(); ++i) {
        if (used[i]) {
            result.push_back(i);
        }
    }
    return result;
}

std::vector<std::size_t> positionIn(const std::vector<std::size_t>& used, std::size_t size) {
    std::vector<std::size_t> position(size);
    for (std::size_t i = 0; i < used.size(); ++i) {
        position[used[i]] = i;
    }
    return position;
}

bool hasPeriods(const TimeCourseData& data, CurveDesign& design) {
    if (data.periods.empty()) {
        return false;
    }
    const auto without = std::count_if(data.rows.begin(), data.rows.end(),
                                       [](const TimeCourseRow& row) { return !row.period; });
    if (without > 0) {
        design.notes.push_back("period left out of the model: " + std::to_string(without) +
                               " values have none");
    }
    return without == 0;
}

void findLevels(const TimeCourseData& data, CurveDesign& design) {
    std::vector<bool> food(data.foods.size());
    std::vector<bool> time(data.timesMin.size());
    std::vector<bool> period(data.periods.size());
    const bool periods = hasPeriods(data, design);
    for (const TimeCourseRow& row : data.rows) {
        food[row.food] = true;
        time[row.time] = true;
        if (periods) {
            period[*row.period] = true;
        }
    }
    design.foods = usedOf(food);
    design.times = usedOf(time);
    design.periods = usedOf(period);
    std::sort(design.times.begin(), design.times.end(),
              [&](std::size_t a, std::size_t b) { return data.timesMin[a] < data.timesMin[b]; });
    for (const std::size_t t : design.times) {
        design.timesMin.push_back(data.timesMin[t]);
    }
}

std::vector<SortedRow> sortedRows(const TimeCourseData& data, CurveDesign& design) {
    const auto foodAt = positionIn(design.foods, data.foods.size());
    const auto timeAt = positionIn(design.times, data.timesMin.size());
    const auto periodAt = positionIn(design.periods, data.periods.size());
    std::vector<SortedRow> rows;
    rows.reserve(data.rows.size());
    for (const TimeCourseRow& row : data.rows) {
        SortedRow sorted{row, 0, 0};
        sorted.row.food = foodAt[row.food];
        sorted.row.time = timeAt[row.time];
        sorted.period = design.periods.size() > 1 ? periodAt[*row.period] : 0;
        rows.push_back(sorted);
    }
    std::sort(rows.begin(), rows.end(), [](const SortedRow& a, const SortedRow& b) {
        return std::tie(a.row.subject, a.row.food, a.row.visit, a.row.time) <
               std::tie(b.row.subject, b.row.food, b.row.visit, b.row.time);
    });
    design.cellOf = Eigen::MatrixXi::Constant(at(design.foods.size()), at(design.times.size()), -1);
    std::map<std::pair<std::size_t, std::size_t>, std::size_t> count;
    for (const SortedRow& r : rows) {
        ++count[{r.row.food, r.row.time}];
    }
    for (const auto& [cell, values] : count) {
        design.cellOf(at(cell.first), at(cell.second)) = static_cast<int>(design.valuesOfCell.size());
        design.valuesOfCell.push_back(values);
    }
    for (SortedRow& r : rows) {
        r.cell = design.cellOf(at(r.row.food), at(r.row.time));
    }
    return rows;
}

bool sameCurve(const TimeCourseRow& a, const TimeCourseRow& b) {
    return a.subject == b.subject && a.food == b.food && a.visit == b.visit;
}

/// Counts subjects and curves; a reason where two values of a curve have one time.
std::string countCurves(const TimeCourseData& data, const std::vector<SortedRow>& rows, CurveDesign& design) {
    std::string reason;
    for (std::size_t i = 0; i < rows.size(); ++i) {
        const TimeCourseRow& row = rows[i].row;
        const bool same = i > 0 && sameCurve(rows[i - 1].row, row);
        if (same && rows[i - 1].row.time == row.time) {
            reason = "a curve of " + data.foods[design.foods[row.food]] + " has two values at one time";
        }
        design.curves += same ? 0U : 1U;
        design.subjects += i > 0 && rows[i - 1].row.subject == row.subject ? 0U : 1U;
    }
    return reason;
}

MatrixXd cellMeans(const std::vector<SortedRow>& rows, const CurveDesign& design, const MatrixXd& columns) {
    MatrixXd means = MatrixXd::Zero(design.cells(), columns.cols());
    if (columns.cols() == 0) {
        return means;  // a row of nothing would be taken off a null pointer
    }
    for (std::size_t i = 0; i < rows.size(); ++i) {
        means.row(rows[i].cell) += columns.row(at(i));
    }
    for (Index c = 0; c < design.cells(); ++c) {
        means.row(c) /= static_cast<double>(design.valuesOfCell[static_cast<std::size_t>(c)]);
    }
    return means;
}

MatrixXd lessCellMeans(const std::vector<SortedRow>& rows, const MatrixXd& columns, const MatrixXd& means) {
    MatrixXd rest = columns;
    if (columns.cols() == 0) {
        return rest;
    }
    for (std::size_t i = 0; i < rows.size(); ++i) {
        rest.row(at(i)) -= means.row(rows[i].cell);
    }
    return rest;
}

/// Periods after the first as columns, and the ones that the cells leave something of.
struct PeriodColumns {
    MatrixXd means;  ///< cells × kept
    MatrixXd rest;   ///< rows × kept, less the means of the cells
    Eigen::LDLT<MatrixXd> normal;
};

MatrixXd picked(const MatrixXd& columns, const std::vector<Index>& which) {
    MatrixXd result(columns.rows(), at(which.size()));
    for (std::size_t j = 0; j < which.size(); ++j) {
        result.col(at(j)) = columns.col(which[j]);
    }
    return result;
}

PeriodColumns findPeriods(const std::vector<SortedRow>& rows, CurveDesign& design) {
    const Index levels = std::max<Index>(at(design.periods.size()), 1);
    MatrixXd columns = MatrixXd::Zero(at(rows.size()), levels - 1);
    for (std::size_t i = 0; i < rows.size(); ++i) {
        if (rows[i].period > 0) {
            columns(at(i), at(rows[i].period) - 1) = 1.0;
        }
    }
    const MatrixXd means = cellMeans(rows, design, columns);
    const MatrixXd rest = lessCellMeans(rows, columns, means);
    std::vector<Index> kept;
    std::vector<Index> dropped;
    MatrixXd basis(rest.rows(), 0);
    for (Index j = 0; j < rest.cols(); ++j) {
        VectorXd left = rest.col(j);
        for (int pass = 0; pass < 2; ++pass) {
            left -= basis * (basis.transpose() * left).eval();
        }
        if (left.norm() <= rankTolerance * columns.col(j).norm()) {
            dropped.push_back(j);
            continue;
        }
        kept.push_back(j);
        basis.conservativeResize(Eigen::NoChange, basis.cols() + 1);
        basis.rightCols(1) = left.normalized();
    }
    PeriodColumns result;
    result.means = picked(means, kept);
    result.rest = picked(rest, kept);
    if (!kept.empty()) {
        result.normal.compute(result.rest.transpose() * result.rest);
    }
    design.droppedAs.resize(design.cells() + at(kept.size()), at(dropped.size()));
    for (std::size_t d = 0; d < dropped.size(); ++d) {
        if (kept.empty()) {
            design.droppedAs.col(at(d)) = means.col(dropped[d]);
        } else {
            const VectorXd share = result.normal.solve(result.rest.transpose() * rest.col(dropped[d]));
            design.droppedAs.col(at(d)) << means.col(dropped[d]) - result.means * share, share;
        }
        design.droppedPeriods.push_back(static_cast<std::size_t>(dropped[d]) + 1);
    }
    for (const Index j : kept) {
        design.keptPeriods.push_back(static_cast<std::size_t>(j) + 1);
    }
    return result;
}

/// Takes the least squares fit out of `value`.
void takeOutFit(const std::vector<SortedRow>& rows, const PeriodColumns& periods, CurveDesign& design,
                VectorXd& value) {
    design.leastSquares = VectorXd::Zero(design.columns());
    for (int pass = 0; pass < 2; ++pass) {
        const VectorXd means = cellMeans(rows, design, value);
        value = lessCellMeans(rows, value, means);
        design.leastSquares.head(design.cells()) += means;
        if (periods.rest.cols() > 0) {
            const VectorXd effect = periods.normal.solve(periods.rest.transpose() * value);
            value -= periods.rest * effect;
            design.leastSquares.head(design.cells()) -= periods.means * effect;
            design.leastSquares.tail(effect.size()) += effect;
        }
    }
}

void addBlocks(const std::vector<SortedRow>& rows, const VectorXd& value, CurveDesign& design) {
    std::vector<Index> columnOfPeriod(std::max<std::size_t>(design.periods.size(), 1), -1);
    for (std::size_t k = 0; k < design.keptPeriods.size(); ++k) {
        columnOfPeriod[design.keptPeriods[k]] = design.cells() + at(k);
    }
    std::map<std::vector<Index>, std::pair<CurveBlock, std::vector<double>>> blocks;
    for (std::size_t begin = 0; begin < rows.size();) {
        CurveBlock block;
        std::vector<Index> key;
        std::size_t i = begin;
        for (; i < rows.size() && rows[i].row.subject == rows[begin].row.subject; ++i) {
            const bool first = i == begin;
            const bool newFood = !first && rows[i].row.food != rows[i - 1].row.food;
            const bool newCurve = !first && !sameCurve(rows[i].row, rows[i - 1].row);
            block.cell.push_back(rows[i].cell);
            block.period.push_back(columnOfPeriod[rows[i].period]);
            block.time.push_back(at(rows[i].row.time));
            block.curve.push_back(first ? 0 : block.curve.back() + (newCurve ? 1 : 0));
            block.food.push_back(first ? 0 : block.food.back() + (newFood ? 1 : 0));
            key.insert(key.end(), {block.cell.back(), block.period.back(), block.curve.back()});
        }
        auto& [held, values] =
            blocks.try_emplace(std::move(key), std::move(block), std::vector<double>()).first->second;
        values.insert(values.end(), value.data() + begin, value.data() + i);
        begin = i;
    }
    for (auto& [key, entry] : blocks) {
        auto& [block, values] = entry;
        const Index m = at(block.cell.size());
        block.value = Eigen::Map<const MatrixXd>(values.data(), m, at(values.size()) / m);
        design.blocks.push_back(std::move(block));
    }
}

void noteConstantTimes(const std::vector<SortedRow>& rows, const VectorXd& value, CurveDesign& design) {
    VectorXd largest = VectorXd::Zero(at(design.times.size()));
    for (std::size_t i = 0; i < rows.size(); ++i) {
        double& x = largest[at(rows[i].row.time)];
        x = std::max(x, std::abs(value[at(i)]));
    }
    for (Index t = 0; t < largest.size(); ++t) {
        if (largest[t] <= 1e-9) {
            design.notes.push_back("foods and periods reproduce every value at " +
                                   plainNumber(design.timesMin[static_cast<std::size_t>(t)]) +
                                   " min: leave a time out at which nothing varies");
        }
    }
}

bool tooLarge(const CurveDesign& design) {
    double entries = 0.0;
    for (const CurveBlock& block : design.blocks) {
        entries += static_cast<double>(block.rows()) * static_cast<double>(block.rows());
    }
    return entries > largestBlocks;
}

}  // namespace

CurveDesign curveDesign(const TimeCourseData& data) {
    CurveDesign design;
    design.rows = data.rows.size();
    if (data.rows.empty()) {
        design.absentBecause = "there is no value";
        return design;
    }
    std::vector<double> values;
    values.reserve(data.rows.size());
    findLevels(data, design);
    const std::vector<SortedRow> rows = sortedRows(data, design);
    for (const SortedRow& r : rows) {
        values.push_back(r.row.value);
    }
    design.absentBecause = countCurves(data, rows, design);
    const auto scaled = scaledNearOne(values);
    if (!scaled) {
        design.absentBecause = "a value is not a finite number";
    } else if (!design.absentBecause.empty()) {
        return design;
    } else if (design.subjects < 2) {
        design.absentBecause = "one subject: nothing to generalise from";
    } else if (design.cells() + at(design.periods.size()) > mostColumns) {
        design.absentBecause = "more than 1000 foods and times: too many for this model";
    }
    if (!design.absentBecause.empty()) {
        return design;
    }
    design.exponent = scaled->exponent;
    VectorXd value = Eigen::Map<const VectorXd>(scaled->value.data(), at(scaled->value.size()));
    const PeriodColumns periods = findPeriods(rows, design);
    takeOutFit(rows, periods, design, value);
    const auto freedom = static_cast<double>(value.size() - design.columns());
    if (freedom < 1.0) {
        design.absentBecause = "no degree of freedom is left: each food and time has one value";
        return design;
    }
    design.unit = std::sqrt(value.squaredNorm() / freedom);
    if (!(design.unit > resolution)) {
        design.absentBecause = "foods and times reproduce every value: nothing varies";
        return design;
    }
    value /= design.unit;
    noteConstantTimes(rows, value, design);
    addBlocks(rows, value, design);
    if (tooLarge(design)) {
        design.absentBecause = "too many values of too many different patterns for the memory of this model";
    }
    return design;
}

CurveFunction noFunction(const CurveDesign& design) {
    return {VectorXd::Zero(design.cells()),
            VectorXd::Zero(at(design.keptPeriods.size() + design.droppedPeriods.size()))};
}

void addCell(const CurveDesign& design, Index cell, double weight, CurveFunction& function) {
    function.cells[cell] += weight;
    function.periods.array() += weight / static_cast<double>(std::max<std::size_t>(design.periods.size(), 1));
}

std::optional<VectorXd> inColumns(const CurveDesign& design, const CurveFunction& function) {
    VectorXd result(design.columns());
    result.head(design.cells()) = function.cells;
    for (std::size_t k = 0; k < design.keptPeriods.size(); ++k) {
        result[design.cells() + at(k)] = function.periods[at(design.keptPeriods[k]) - 1];
    }
    for (std::size_t d = 0; d < design.droppedPeriods.size(); ++d) {
        const double implied = design.droppedAs.col(at(d)).dot(result);
        if (std::abs(implied - function.periods[at(design.droppedPeriods[d]) - 1]) > rankTolerance) {
            return std::nullopt;
        }
    }
    return result;
}

}  // namespace aftercurve
