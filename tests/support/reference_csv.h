#pragma once

#include <gtest/gtest.h>

#include <cstddef>
#include <filesystem>
#include <map>
#include <memory>
#include <optional>
#include <string>
#include <vector>

#include "tests/support/reference_table.h"

namespace aftercurve::test {

/// One row of a file in tests/reference/: text by column name. An empty cell is no number here.
class ReferenceRow {
  public:
    ReferenceRow(std::shared_ptr<const ReferenceTable> table, std::size_t row)
        : table_(std::move(table)), row_(row) {}

    std::string text(const std::string& column) const { return table_->text(row_, column); }

    /// NA is absent.
    std::optional<double> number(const std::string& column) const {
        if (table_->text(row_, column).empty()) {
            ADD_FAILURE() << column << ": an empty cell is not a number";
        }
        return table_->number(row_, column);
    }

  private:
    std::shared_ptr<const ReferenceTable> table_;
    std::size_t row_;
};

/// The rows of a file in tests/reference/, by name.
inline std::vector<ReferenceRow> readReference(const std::string& name) {
    const auto table = std::make_shared<const ReferenceTable>(std::filesystem::path{TEST_REFERENCE} / name);
    std::vector<ReferenceRow> rows;
    for (std::size_t row = 0; row < table->rowCount(); ++row) {
        rows.emplace_back(table, row);
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
