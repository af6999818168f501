#include "core/files/delimited.h"

#include <algorithm>

namespace aftercurve {

namespace {

/// A byte above ',' is none of ',', LF, CR; digits, points and letters all are, so one comparison settles
/// them.
bool endsPlainCell(char c) {
    const auto byte = static_cast<unsigned char>(c);
    return byte <= ',' && (byte == ',' || byte == '\n' || byte == '\r');
}

std::size_t lineEndsIn(std::string_view cell) {
    std::size_t ends = 0;
    for (std::size_t i = 0; i < cell.size(); ++i) {
        const bool loneReturn = cell[i] == '\r' && (i + 1 == cell.size() || cell[i + 1] != '\n');
        ends += cell[i] == '\n' || loneReturn ? 1u : 0u;
    }
    return ends;
}

}  // namespace

DelimitedScanner::DelimitedScanner(std::string_view text, std::size_t lineBytes, std::size_t columns)
    : text_(text), lineBytes_(lineBytes), cells_(columns) {}

DelimitedScanner::Step DelimitedScanner::next() {
    while (true) {
        while (position_ < text_.size() && skipLineEnd()) {
        }
        if (position_ == text_.size()) {
            return Step::end;
        }
        const Step step = scanRow();
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
            std::size_t end = position_;
            while (end < stop && !endsPlainCell(text_[end])) {
                ++end;
            }
            addCell(text_.substr(position_, end - position_));
            position_ = end;
        }
        if (position_ - begin > lineBytes_) {
            return Step::lineTooLong;
        }
        if (position_ == text_.size() || skipLineEnd()) {
            restoreUnescaped();
            return Step::row;
        }
        ++position_;  // the comma
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
        cells_[kept_++] = cell;
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
