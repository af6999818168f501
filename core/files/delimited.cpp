#include "core/files/delimited.h"

#include <algorithm>
#include <bit>
#include <cstring>
#include <type_traits>

#if defined(__SSE2__)
#include <emmintrin.h>
#endif

namespace aftercurve {

namespace {

constexpr std::size_t blockBytes = 64;

#if defined(__SSE2__)

/// Bit i: byte i of `bytes` (at most 64) is the delimiter, LF or CR.
std::uint64_t plainCellEnds(std::string_view bytes, char delimiter) {
    const __m128i delimiters = _mm_set1_epi8(delimiter);
    alignas(16) char padded[blockBytes] = {};
    const char* data = bytes.data();
    if (bytes.size() < blockBytes) {
        std::memcpy(padded, bytes.data(), bytes.size());
        data = padded;
    }
    std::uint64_t ends = 0;
    for (std::size_t i = 0; i < blockBytes; i += 16) {
        __m128i part;
        std::memcpy(&part, data + i, sizeof part);
        const __m128i hits = _mm_or_si128(
            _mm_or_si128(_mm_cmpeq_epi8(part, delimiters), _mm_cmpeq_epi8(part, _mm_set1_epi8('\n'))),
            _mm_cmpeq_epi8(part, _mm_set1_epi8('\r')));
        ends |= std::uint64_t{static_cast<std::uint32_t>(_mm_movemask_epi8(hits))} << i;
    }
    return ends;
}

#else

std::uint64_t plainCellEnds(std::string_view bytes, char delimiter) {
    std::uint64_t ends = 0;
    for (std::size_t i = 0; i < bytes.size(); ++i) {
        const bool ended = bytes[i] == delimiter || bytes[i] == '\n' || bytes[i] == '\r';
        ends |= std::uint64_t{ended} << i;
    }
    return ends;
}

#endif

std::size_t lineEndsIn(std::string_view cell) {
    std::size_t ends = 0;
    for (std::size_t i = 0; i < cell.size(); ++i) {
        const bool loneReturn = cell[i] == '\r' && (i + 1 == cell.size() || cell[i + 1] != '\n');
        ends += cell[i] == '\n' || loneReturn ? 1u : 0u;
    }
    return ends;
}

}  // namespace

DelimitedScanner::DelimitedScanner(std::string_view text, std::size_t lineBytes, std::size_t columns,
                                   char delimiter, Input input)
    : text_(text), lineBytes_(lineBytes), delimiter_(delimiter), input_(input), cells_(columns) {}

void DelimitedScanner::continueWith(std::string_view text, Input input) {
    text_ = text;
    input_ = input;
    position_ = 0;
    block_ = std::string_view::npos;
}

DelimitedScanner::Step DelimitedScanner::next() {
    while (true) {
        const bool goesOn = input_ == Input::goesOn;
        while (position_ < text_.size() && !(goesOn && position_ + 1 == text_.size()) && skipLineEnd()) {
        }
        if (position_ == text_.size()) {
            return goesOn ? Step::more : Step::end;
        }
        const std::size_t begin = position_;
        const Step step = scanRow();
        // What touches the end of a piece may look otherwise with the next piece behind it.
        if (goesOn && (position_ == text_.size() || step == Step::quoteNotClosed)) {
            position_ = begin;
            line_ = row_;
            return Step::more;
        }
        const bool blank = step == Step::row && count_ == 1 && kept_ == 1 && trimmed(cells_[0]).empty();
        if (!blank) {
            return step;
        }
    }
}

bool DelimitedScanner::skipLineEnd() {
    if (text_[position_] == '\r') {
        ++position_;
        if (position_ < text_.size() && text_[position_] == '\n') {
            ++position_;
        }
    } else if (text_[position_] == '\n') {
        ++position_;
    } else {
        return false;
    }
    ++line_;
    return true;
}

DelimitedScanner::Step DelimitedScanner::scanRow() {
    const std::size_t begin = position_;
    const std::size_t left = text_.size() - begin;
    const std::size_t stop = left > lineBytes_ ? begin + lineBytes_ + 1 : text_.size();
    row_ = line_;
    begin_ = begin;
    count_ = 0;
    kept_ = 0;
    scratch_.clear();
    unescaped_.clear();
    while (true) {
        if (position_ < stop && text_[position_] == '"') {
            if (const Step step = scanQuoted(stop); step != Step::row) {
                return step;
            }
        } else {
            scanPlain(stop);
        }
        if (position_ - begin > lineBytes_) {
            return Step::lineTooLong;
        }
        if (position_ == text_.size() || skipLineEnd()) {
            restoreUnescaped();
            return Step::row;
        }
        ++position_;  // the delimiter
    }
}

/// First byte from `from` on that ends a plain cell, `stop` where none comes before it. Looking at 64 bytes
/// at once spares a mispredicted branch a cell; a row of samples is about as long.
template <class Delimiter>
inline std::size_t DelimitedScanner::plainCellEnd(std::size_t from, std::size_t stop, Delimiter delimiter) {
    std::size_t block = from - from % blockBytes;
    std::uint64_t wanted = ~std::uint64_t{0} << (from % blockBytes);
    while (block < stop) {
        if (block != block_) {
            block_ = block;
            ends_ = plainCellEnds(text_.substr(block, blockBytes), delimiter);
        }
        if (const std::uint64_t ends = ends_ & wanted; ends != 0) {
            return std::min(block + static_cast<std::size_t>(std::countr_zero(ends)), stop);
        }
        block += blockBytes;
        wanted = ~std::uint64_t{0};
    }
    return stop;
}

/// Takes plain cells up to one that ends the row or comes before a quoted one, or to `stop`; leaves position_
/// on the byte that ends the last of them. All in local variables: this is where the time goes.
template <class Delimiter>
inline void DelimitedScanner::scanPlainUpTo(std::size_t stop, Delimiter delimiter) {
    const char* const text = text_.data();
    std::size_t position = position_;
    std::size_t count = count_;
    while (true) {
        const std::size_t end = plainCellEnd(position, stop, delimiter);
        if (count < cells_.size()) {
            cells_[count] = {text + position, end - position};
        }
        ++count;
        position = end;
        const bool another = end + 1 < stop && text[end] == delimiter && text[end + 1] != '"';
        if (!another) {
            break;
        }
        position = end + 1;
    }
    position_ = position;
    count_ = count;
    kept_ = std::min(count, cells_.size());
}

/// The comma, which most files have, is known to the compiler.
void DelimitedScanner::scanPlain(std::size_t stop) {
    if (delimiter_ == ',') {
        scanPlainUpTo(stop, std::integral_constant<char, ','>{});
    } else {
        scanPlainUpTo(stop, delimiter_);
    }
}

DelimitedScanner::Step DelimitedScanner::scanQuoted(std::size_t stop) {
    const std::size_t begin = position_ + 1;
    std::size_t piece = begin;
    const std::size_t scratchBegin = scratch_.size();
    bool doubled = false;
    while (true) {
        const std::size_t close = text_.substr(0, stop).find('"', piece);
        if (close == std::string_view::npos) {
            return stop == text_.size() ? Step::quoteNotClosed : Step::lineTooLong;
        }
        if (close + 1 < text_.size() && text_[close + 1] == '"') {
            scratch_.append(text_, piece, close + 1 - piece);
            doubled = true;
            piece = close + 2;
            continue;
        }
        const std::string_view raw = text_.substr(begin, close - begin);
        line_ += lineEndsIn(raw);
        if (doubled) {
            scratch_.append(text_, piece, close - piece);
            unescaped_.push_back({count_, scratchBegin, scratch_.size() - scratchBegin});
        }
        addCell(raw);
        position_ = close + 1;
        const bool ended = position_ >= text_.size() || endsPlainCell(text_[position_]);
        return ended ? Step::row : Step::textAfterQuote;
    }
}

void DelimitedScanner::addCell(std::string_view cell) {
    if (count_ < cells_.size()) {
        cells_[count_] = cell;
        kept_ = count_ + 1;
    }
    ++count_;
}

void DelimitedScanner::restoreUnescaped() {
    // The scratch text no longer moves, so views into it hold until the next row overwrites it.
    for (const Unescaped& entry : unescaped_) {
        if (entry.cell < kept_) {
            cells_[entry.cell] = std::string_view{scratch_}.substr(entry.begin, entry.length);
        }
    }
}

}  // namespace aftercurve
