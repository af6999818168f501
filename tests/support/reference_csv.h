#pragma once

#include <gtest/gtest.h>

#include <cstdlib>
#include <fstream>
#include <map>
#include <optional>
#include <sstream>
#include <string>
#include <vector>

namespace aftercurve::test {

/// One row of a file in tests/reference/: text by column name.
class ReferenceRow {
  public:
    explicit ReferenceRow(std::map<std::string, std::string> cells) : cells_(std::move(cells)) {}

    std::string text(const std::string& column) const {
        const auto cell = cells_.find(column);
        if (cell == cells_.end()) {
            ADD_FAILURE() << "no column " << column;
            return {};
        }
        return cell->second;
    }

    /// NA is absent.
    std::optional<double> number(const std::string& column) const {
        const std::string cell = text(column);
        if (cell == "NA") {
            return std::nullopt;
        }
        char* end = nullptr;
        const double value = std::strtod(cell.c_str(), &end);
        if (cell.empty() || *end != '\0') {
            ADD_FAILURE() << column << ": '" << cell << "' is not a number";
        }
        return value;
    }

  private:
    std::map<std::string, std::string> cells_;
};

/// Rows of a plain comma-separated file (no quotes), the first line being the header. Fails where the file is
/// missing or a row has another number of cells.
inline std::vector<ReferenceRow> readReference(const std::string& name) {
    const auto cellsOf = [](const std::string& line) {
        std::vector<std::string> cells;
        std::istringstream stream(line);
        for (std::string cell; std::getline(stream, cell, ',');) {
            cells.push_back(cell);
        }
        return cells;
    };
    std::ifstream file(std::string(TEST_REFERENCE) + "/" + name);
    std::string line;
    if (!std::getline(file, line)) {
        ADD_FAILURE() << "cannot read " << name;
        return {};
    }
    const std::vector<std::string> header = cellsOf(line);
    std::vector<ReferenceRow> rows;
    while (std::getline(file, line)) {
        const std::vector<std::string> cells = cellsOf(line);
        if (cells.size() != header.size()) {
            ADD_FAILURE() << name << ": " << line;
            continue;
        }
        std::map<std::string, std::string> row;
        for (std::size_t i = 0; i < cells.size(); ++i) {
            row[header[i]] = cells[i];
        }
        rows.emplace_back(std::move(row));
    }
    return rows;
}

/// A file of the columns name,value.
inline std::map<std::string, double> readReferenceValues(const std::string& name) {
    std::map<std::string, double> values;
    for (const ReferenceRow& row : readReference(name)) {
        values[row.text("name")] = row.number("value").value_or(0.0);
    }
    return values;
}

}  // namespace aftercurve::test
