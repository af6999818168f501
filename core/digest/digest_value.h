#pragma once

#include <cmath>
#include <optional>
#include <string>

namespace aftercurve {

/// A number of a digestion, or why there is none.
struct DigestValue {
    std::optional<double> value;
    std::string absentBecause;  ///< empty where there is a value
    std::string note = {};  ///< what a reader must know of a value that is there: "interpolated at 20 min"

    static DigestValue of(double number) {
        return std::isfinite(number) ? DigestValue{number, {}, {}} : none("the number is too large");
    }
    static DigestValue none(std::string reason) { return {std::nullopt, std::move(reason), {}}; }

    bool operator==(const DigestValue&) const = default;
};

}  // namespace aftercurve
