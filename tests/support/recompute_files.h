#pragma once

#include <gtest/gtest.h>

#include <map>
#include <nlohmann/json.hpp>
#include <set>
#include <string>
#include <vector>

#include "core/base/number_text.h"
#include "core/findings/analyse.h"
#include "core/findings/recompute.h"
#include "tests/support/study_builder.h"

namespace aftercurve::test {

/// The files of the folder recompute by name.
inline std::map<std::string, std::string> filesOf(const Study& study) {
    const auto findings = analyse(study, study.plan);
    EXPECT_TRUE(findings.ok());
    std::map<std::string, std::string> files;
    for (RecomputeFile& file : recomputeFiles(study, findings.value())) {
        files.emplace(file.name, std::move(file.bytes));
    }
    return files;
}

/// The rows of RFC 4180 text, each split into its cells.
inline std::vector<std::vector<std::string>> cellsOf(const std::string& csv) {
    std::vector<std::vector<std::string>> rows(1, std::vector<std::string>(1));
    bool quoted = false;
    for (std::size_t i = 0; i < csv.size(); ++i) {
        const char c = csv[i];
        if (c == '"') {
            const bool doubled = quoted && i + 1 < csv.size() && csv[i + 1] == '"';
            if (doubled) {
                rows.back().back() += c;
                ++i;
            } else {
                quoted = !quoted;
            }
        } else if (c == ',' && !quoted) {
            rows.back().emplace_back();
        } else if (c == '\n' && !quoted) {
            rows.emplace_back(1);
        } else {
            rows.back().back() += c;
        }
    }
    rows.pop_back();  // what follows the last line end
    return rows;
}

/// The value of one column by row, for rows where `where` columns have these cells.
inline std::vector<std::string> column(const std::string& csv, const std::string& name,
                                       const std::map<std::string, std::string>& where) {
    const auto rows = cellsOf(csv);
    std::map<std::string, std::size_t> place;
    for (std::size_t c = 0; c < rows[0].size(); ++c) {
        place[rows[0][c]] = c;
    }
    std::vector<std::string> values;
    for (std::size_t r = 1; r < rows.size(); ++r) {
        bool fits = true;
        for (const auto& [key, cell] : where) {
            fits = fits && rows[r].at(place.at(key)) == cell;
        }
        if (fits) {
            values.push_back(rows[r].at(place.at(name)));
        }
    }
    return values;
}

/// Bread and oats, eaten by two subjects.
inline Study twoFoods() {
    test::StudyBuilder builder;
    builder.food("bread", FoodRole::control).food("oats", FoodRole::test).analyte("glucose", "mmol/L");
    builder.curve("01", "bread", 1, {0, 60, 120}, {5, 7, 5}).curve("01", "oats", 1, {0, 60, 120}, {5, 6, 5});
    builder.curve("02", "bread", 1, {0, 60, 120}, {5, 9, 5}).curve("02", "oats", 1, {0, 60, 120}, {5, 6, 5});
    builder.study().plan.index = false;
    return builder.study();
}

/// Numbers below a JSON value, except those of keys that say where a number stands.
inline void collect(const nlohmann::json& json, std::set<std::string>& numbers) {
    static const std::set<std::string> places{"visit", "period", "window_end_min"};
    if (json.is_number()) {
        numbers.insert(plainNumber(json.get<double>()));
    } else if (json.is_object()) {
        for (const auto& [key, value] : json.items()) {
            if (!places.contains(key)) {
                collect(value, numbers);
            }
        }
    } else if (json.is_array()) {
        for (const auto& value : json) {
            collect(value, numbers);
        }
    }
}

}  // namespace aftercurve::test
