#include "core/intake/text_source.h"

#include <optional>
#include <string>
#include <vector>

#include "core/files/csv_header.h"
#include "core/files/delimited.h"
#include "core/files/excerpt.h"
#include "core/files/problem_list.h"
#include "core/files/text_check.h"
#include "core/intake/dialect_guess.h"
#include "core/intake/text_encoding.h"

namespace aftercurve {

namespace {

using Step = DelimitedScanner::Step;
using Input = DelimitedScanner::Input;

std::optional<Problem> faultOf(const TextDialect& dialect, std::string_view file) {
    if (!isKnownEncoding(dialect.encoding)) {
        return problemAt(file, 0, {}, "the encoding " + quote(dialect.encoding) + " is not known",
                         "name one of utf-8, utf-16le, utf-16be, latin-1");
    }
    if (!isKnownDelimiter(dialect.delimiter)) {
        return problemAt(file, 0, {}, "cells cannot be separated by " + quote(std::string{dialect.delimiter}),
                         "name a comma, semicolon, tab or vertical bar");
    }
    return std::nullopt;
}

Problem doesNotDecode(const TextPieces& pieces, std::string_view rest, std::size_t line,
                      std::string_view file, const std::string& encoding) {
    return problemAt(file, line + lineAt(rest, rest.size()) - 1, {},
                     *pieces.fault() + ", so the file is not text in " + encoding,
                     "choose the encoding that it was saved in, or save it anew as UTF-8");
}

/// Rows that may be visited between two reports: those of a few bytes come by hundred thousands in one piece.
constexpr std::size_t rowsPerReport = 20'000;

/// Cells as a visitor gets them; false where all are empty.
bool fillCells(std::span<const std::string_view> texts, std::vector<RawCell>& cells) {
    bool any = false;
    for (std::size_t i = 0; i < texts.size(); ++i) {
        const bool empty = texts[i].empty();
        cells[i] = {empty ? CellKind::empty : CellKind::text, texts[i], 0.0};
        any = any || !empty;
    }
    return any;
}

}  // namespace

Result<Done> visitText(std::string_view bytes, std::string_view file, const TextDialect& dialect,
                       const IntakeLimits& limits, const RowVisitor& visitor,
                       const std::function<bool(double)>& progress) {
    if (auto fault = faultOf(dialect, file)) {
        return std::move(*fault);
    }
    TextPieces pieces{bytes, dialect.encoding};
    std::string_view piece = pieces.next(0);
    const auto inputOf = [&] { return pieces.atEnd() ? Input::complete : Input::goesOn; };
    DelimitedScanner scanner{piece, limits.lineBytes, limits.columns, dialect.delimiter, inputOf()};
    std::vector<RawCell> cells(limits.columns);
    std::size_t rows = 0;
    std::size_t pieceBegin = 0;
    // Of the file's bytes, by how far the scanner has come in the piece.
    const auto share = [&] {
        const double within = static_cast<double>(scanner.offset()) / static_cast<double>(piece.size());
        const auto pieceBytes = static_cast<double>(pieces.bytesDone() - pieceBegin);
        return (static_cast<double>(pieceBegin) + within * pieceBytes) / static_cast<double>(bytes.size());
    };
    while (true) {
        const Step step = scanner.next();
        if (step == Step::more) {
            const std::string_view rest = piece.substr(scanner.offset());
            if (pieces.fault()) {
                return doesNotDecode(pieces, rest, scanner.line(), file, dialect.encoding);
            }
            pieceBegin = pieces.bytesDone();
            const double done = static_cast<double>(pieceBegin) / static_cast<double>(bytes.size());
            if (progress && !progress(done)) {
                return Done{};
            }
            piece = pieces.next(rest.size());
            scanner.continueWith(piece, inputOf());
            continue;
        }
        if (auto problem = scanProblem(step, scanner, file)) {
            return std::move(*problem);
        }
        if (step == Step::end) {
            return Done{};
        }
        if (scanner.cellCount() > limits.columns) {
            return problemAt(file, scanner.row(), {},
                             "the row has " + std::to_string(scanner.cellCount()) + " cells, more than the " +
                                 std::to_string(limits.columns) + " that are read",
                             "check the delimiter, or keep the columns that the study needs");
        }
        if (!fillCells(scanner.cells(), cells)) {
            continue;
        }
        if (++rows > limits.rows) {
            return problemAt(
                file, scanner.row(), {},
                "the file has more than the " + std::to_string(limits.rows) + " rows that are read",
                "split the file");
        }
        if (visitor(scanner.row(), std::span{cells}.first(scanner.cells().size())) == Visit::stop) {
            return Done{};
        }
        if (rows % rowsPerReport == 0 && progress && !progress(share())) {
            return Done{};
        }
    }
}

}  // namespace aftercurve
