#pragma once

#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "core/compare/normal_quantiles.h"
#include "core/curve/measures.h"
#include "core/findings/table.h"

namespace aftercurve {

inline Cell cellOf(const std::optional<double>& value) {
    return value ? Cell{*value} : Cell{};
}

inline Cell cellOf(std::size_t count) {
    return static_cast<std::int64_t>(count);
}

/// Empty text is an absent cell.
inline Cell cellOf(std::string text) {
    return text.empty() ? Cell{} : Cell{std::move(text)};
}

inline Cell yesOrNothing(bool yes) {
    return yes ? Cell{std::string{"yes"}} : Cell{};
}

inline Column textColumn(std::string key, std::string title, std::string explanation = {}) {
    return {std::move(key), std::move(title), "", ColumnKind::text, 0, std::move(explanation), {}};
}

inline Column countColumn(std::string key, std::string title, std::string explanation = {}) {
    return {std::move(key), std::move(title), "", ColumnKind::integer, 0, std::move(explanation), {}};
}

inline Column numberColumn(std::string key, std::string title, std::string unit, int decimals,
                           std::string explanation = {}, std::vector<std::string> inputs = {}) {
    return {std::move(key), std::move(title),       std::move(unit),  ColumnKind::number,
            decimals,       std::move(explanation), std::move(inputs)};
}

inline Column pColumn(std::string key, std::string title, std::string explanation = {},
                      std::vector<std::string> inputs = {}) {
    return {std::move(key),         std::move(title), "", ColumnKind::pValue, 3,
            std::move(explanation), std::move(inputs)};
}

/// The normal quantile of each of n values, by its index; absent where it has no point.
inline std::vector<std::optional<double>> normalByIndex(const NormalQuantiles& quantiles, std::size_t n) {
    std::vector<std::optional<double>> normal(n);
    for (const QuantilePoint& point : quantiles.points) {
        normal[point.index] = point.normal;
    }
    return normal;
}

/// Unit of an analyte of the study, "" where it has none.
inline std::string unitOfAnalyte(const Study& study, std::string_view analyte) {
    const auto index = findAnalyte(study, analyte);
    return index ? study.analytes[*index].unit : std::string{};
}

}  // namespace aftercurve
