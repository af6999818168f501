#include "core/intake/dialect_guess.h"

#include <algorithm>
#include <array>
#include <map>
#include <vector>

#include "core/files/delimited.h"
#include "core/intake/text_encoding.h"

namespace aftercurve {

namespace {

constexpr std::size_t sampleBytes = std::size_t{256} << 10;
constexpr std::size_t sampleRows = 1000;
constexpr std::array delimiters{',', ';', '\t', '|'};

/// One row cut by one delimiter.
struct RowShape {
    std::size_t cells = 0;
    std::size_t pointNumbers = 0;  ///< cells that read as numbers with a decimal point
    std::size_t commaNumbers = 0;  ///< the same with a decimal comma
};

struct Fit {
    double score = 0.0;
    std::size_t cells = 0;
};

bool isDigit(char c) {
    return c >= '0' && c <= '9';
}

std::size_t digitsAt(std::string_view text) {
    return static_cast<std::size_t>(std::find_if_not(text.begin(), text.end(), isDigit) - text.begin());
}

void dropOneOf(std::string_view& text, std::string_view characters) {
    if (!text.empty() && characters.find(text.front()) != std::string_view::npos) {
        text.remove_prefix(1);
    }
}

bool readsAsNumber(std::string_view cell, char decimalMark) {
    std::string_view text = trimmed(cell);
    dropOneOf(text, "<>");
    text = trimmed(text);
    dropOneOf(text, "+-");
    std::size_t digits = digitsAt(text);
    text.remove_prefix(digits);
    if (!text.empty() && text.front() == decimalMark) {
        text.remove_prefix(1);
        const std::size_t decimals = digitsAt(text);
        text.remove_prefix(decimals);
        digits += decimals;
    }
    if (digits == 0 || text.empty()) {
        return digits != 0;
    }
    if (text.front() != 'e' && text.front() != 'E') {
        return false;
    }
    text.remove_prefix(1);
    dropOneOf(text, "+-");
    return !text.empty() && digitsAt(text) == text.size();
}

std::vector<RowShape> shapesOf(std::string_view text, bool complete, char delimiter,
                               const IntakeLimits& limits) {
    DelimitedScanner scanner{text, limits.lineBytes, limits.columns, delimiter,
                             complete ? DelimitedScanner::Input::complete : DelimitedScanner::Input::goesOn};
    std::vector<RowShape> shapes;
    while (shapes.size() < sampleRows && scanner.next() == DelimitedScanner::Step::row) {
        RowShape shape{scanner.cellCount(), 0, 0};
        for (const std::string_view cell : scanner.cells()) {
            shape.pointNumbers += readsAsNumber(cell, '.') ? 1u : 0u;
            shape.commaNumbers += readsAsNumber(cell, ',') ? 1u : 0u;
        }
        shapes.push_back(shape);
    }
    return shapes;
}

/// Number of cells of the even rows; 0 where every row is one cell.
std::size_t evenWidth(const std::vector<RowShape>& shapes) {
    std::map<std::size_t, std::size_t> cellsByWidth;
    for (const RowShape& shape : shapes) {
        if (shape.cells >= 2) {
            cellsByWidth[shape.cells] += shape.cells;
        }
    }
    std::size_t width = 0;
    std::size_t most = 0;
    for (const auto& [cells, total] : cellsByWidth) {
        if (total >= most) {
            most = total;
            width = cells;
        }
    }
    return width;
}

Fit fitOf(const std::vector<RowShape>& shapes, std::size_t RowShape::*numbers) {
    const std::size_t width = evenWidth(shapes);
    if (width == 0) {
        return {};
    }
    std::size_t rows = 0;
    std::size_t found = 0;
    for (const RowShape& shape : shapes) {
        if (shape.cells == width) {
            ++rows;
            found += shape.*numbers;
        }
    }
    const double share = static_cast<double>(rows) / static_cast<double>(shapes.size());
    return {share * static_cast<double>(rows + found), width};
}

}  // namespace

bool isKnownDelimiter(char delimiter) {
    return std::find(delimiters.begin(), delimiters.end(), delimiter) != delimiters.end();
}

TextDialect guessTextDialect(std::string_view bytes, const IntakeLimits& limits) {
    TextDialect guess;
    guess.encoding = encodingOf(bytes);
    TextPieces pieces{bytes, guess.encoding, sampleBytes};
    const std::string_view sample = pieces.next(0);
    Fit best;
    for (const char delimiter : delimiters) {
        const std::vector<RowShape> shapes = shapesOf(sample, pieces.atEnd(), delimiter, limits);
        for (const char mark : {'.', ','}) {
            const Fit fit = fitOf(shapes, mark == '.' ? &RowShape::pointNumbers : &RowShape::commaNumbers);
            const bool better = fit.score > best.score || (fit.score == best.score && fit.cells > best.cells);
            if (better) {
                best = fit;
                guess.delimiter = delimiter;
                guess.decimalMark = mark;
            }
        }
    }
    return guess;
}

}  // namespace aftercurve
