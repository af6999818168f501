#pragma once

#include <charconv>
#include <cstddef>
#include <filesystem>
#include <fstream>
#include <optional>
#include <stdexcept>
#include <string>
#include <string_view>
#include <system_error>
#include <vector>

namespace aftercurve::test {

/// A plain CSV file without quotes, as the R scripts in tests/reference write and the sample studies use it.
/// Throws where the file is missing or ragged, so that a test cannot pass by reading nothing.
class ReferenceTable {
  public:
    explicit ReferenceTable(const std::filesystem::path& path) : path_(path.string()) {
        std::ifstream in(path);
        std::string line;
        while (std::getline(in, line)) {
            rows_.push_back(cells(line));
            if (rows_.back().size() != rows_.front().size()) {
                throw std::runtime_error(path_ + ": row of another length: " + line);
            }
        }
        if (rows_.size() < 2) {
            throw std::runtime_error(path_ + ": no rows");
        }
    }

    std::size_t rowCount() const { return rows_.size() - 1; }

    const std::string& text(std::size_t row, std::string_view column) const {
        const std::vector<std::string>& header = rows_.front();
        for (std::size_t i = 0; i < header.size(); ++i) {
            if (header[i] == column) {
                return rows_[row + 1][i];
            }
        }
        throw std::runtime_error(path_ + ": no column " + std::string{column});
    }

    /// Absent for NA and for an empty cell.
    std::optional<double> number(std::size_t row, std::string_view column) const {
        const std::string& cell = text(row, column);
        if (cell.empty() || cell == "NA") {
            return std::nullopt;
        }
        double value = 0.0;
        const auto [end, error] = std::from_chars(cell.data(), cell.data() + cell.size(), value);
        if (error != std::errc{} || end != cell.data() + cell.size()) {
            throw std::runtime_error(path_ + ": not a number: " + cell);
        }
        return value;
    }

  private:
    static std::vector<std::string> cells(const std::string& line) {
        std::vector<std::string> out(1);
        for (const char c : line) {
            if (c == ',') {
                out.emplace_back();
            } else {
                out.back().push_back(c);
            }
        }
        return out;
    }

    std::string path_;
    std::vector<std::vector<std::string>> rows_;
};

}  // namespace aftercurve::test
