#pragma once

#include <algorithm>
#include <cstdint>
#include <iterator>
#include <map>
#include <random>
#include <string>
#include <vector>

#include "core/edit/edit.h"
#include "core/study/study.h"

namespace aftercurve::test {

/// Seeded choices for property tests; the same seed gives the same study on every machine.
class Generator {
  public:
    explicit Generator(std::uint64_t seed) : random_(seed) {}

    std::size_t below(std::size_t n) { return random_() % n; }
    bool oneIn(std::size_t n) { return below(n) == 0; }

    template <class Things>
    auto pick(const Things& things) {
        return things[below(std::size(things))];
    }

    /// Letters, digits, and what needs quotes or more than one byte; distinct by its number.
    std::string id(std::size_t number) {
        static const std::vector<std::string> pieces{"a", "Z", "7",  ",", "\"", " ", ";",
                                                     "ä", "µ", "麦", "-", "'",  "=", "\"\""};
        std::string text = "x" + std::to_string(number);
        for (std::size_t i = below(6); i > 0; --i) {
            text += pick(pieces);
        }
        return text + ".";
    }

    /// A value with few or with all 17 digits.
    double value(double low, double high) {
        const double full = low + (high - low) * static_cast<double>(random_() >> 11) / 9007199254740992.0;
        return oneIn(2) ? full : static_cast<double>(static_cast<long>(full * 100.0)) / 100.0;
    }

    std::mt19937_64& engine() { return random_; }

  private:
    std::mt19937_64 random_;
};

/// Writes cells as some spreadsheet might: quotes where needed or at will, blanks around plain ones.
class CsvWriter {
  public:
    CsvWriter(Generator& g, std::string lineEnd) : g_(g), lineEnd_(std::move(lineEnd)) {}

    void row(const std::vector<std::string>& cells) {
        for (std::size_t i = 0; i < cells.size(); ++i) {
            text_ += (i == 0 ? "" : ",") + cell(cells[i]);
        }
        text_ += lineEnd_;
        ++line_;
    }
    /// A cell with line ends in it moves the rows that follow down.
    void skipLines(std::uint32_t lines) { line_ += lines; }
    void blankLine() {
        text_ += lineEnd_;
        ++line_;
    }
    std::uint32_t line() const { return line_; }
    std::string text(bool lastLineEnd) const {
        return lastLineEnd ? text_ : text_.substr(0, text_.size() - lineEnd_.size());
    }

  private:
    std::string cell(const std::string& value) {
        const bool needed = value.find_first_of(",\"\r\n") != std::string::npos;
        if (!needed && !g_.oneIn(4)) {
            return g_.oneIn(8) ? " " + value + "\t" : value;
        }
        std::string quotedCell = "\"";
        for (const char c : value) {
            quotedCell += c == '"' ? std::string{"\"\""} : std::string{c};
        }
        return quotedCell + "\"";
    }

    Generator& g_;
    std::string lineEnd_;
    std::string text_;
    std::uint32_t line_ = 1;
};

/// Files of an invented study folder by name, written in many ways: quoting, line ends, byte order mark,
/// blank lines, unknown columns and keys, units in headers, cells that are no numbers, texts that a
/// spreadsheet might run. `oneLineCells`: no cell holds a line end, so that a row is a line.
std::map<std::string, std::string> randomFolder(Generator& g, bool oneLineCells = false);

/// A change of that study that may or may not be possible. `samplesOnly`: of the samples table.
Change randomChange(Generator& g, const Study& study, bool samplesOnly = false);

/// A change of the assays, fibre, recipes or diaries of that study, or of their settings.
Change randomLaboratoryChange(Generator& g, const Study& study);

/// A text for a cell, hostile or plain.
std::string anyText(Generator& g);

}  // namespace aftercurve::test
