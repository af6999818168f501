#include "core/intake/workbook_xml.h"

#include <algorithm>
#include <cstdint>
#include <cstring>
#include <utility>

#include "core/files/read_file.h"
#include "core/files/utf8.h"

namespace aftercurve {

namespace {

/// Expanded at once: little at first, since most parts are short.
constexpr std::size_t firstChunkBytes = std::size_t{16} << 10;
constexpr std::size_t chunkBytes = std::size_t{256} << 10;
constexpr std::size_t bytesPerQuestion = std::size_t{2} << 20;

std::string_view localName(std::string_view tag) {
    const std::size_t end = std::min(tag.find_first_of(" \t\r\n/>"), tag.size());
    const std::string_view name = tag.substr(0, end);
    const std::size_t colon = name.find(':');
    return colon == std::string_view::npos ? name : name.substr(colon + 1);
}

/// True where a numeric reference that begins at `text` names a character of XML 1.0.
bool namesCharacter(std::string_view text) {
    const bool hex = text.size() > 2 && text[2] == 'x';
    std::uint32_t code = 0;
    for (std::size_t i = hex ? 3 : 2; i < text.size() && text[i] != ';' && code <= 0x10ffff; ++i) {
        const char c = text[i];
        const auto lower = static_cast<char>(c | 0x20);
        if (c >= '0' && c <= '9') {
            code = code * (hex ? 16 : 10) + static_cast<std::uint32_t>(c - '0');
        } else if (hex && lower >= 'a' && lower <= 'f') {
            code = code * 16 + static_cast<std::uint32_t>(lower - 'a' + 10);
        } else {
            return false;
        }
    }
    const bool control = code < 0x20 && code != '\t' && code != '\n' && code != '\r';
    const bool surrogate = code >= 0xd800 && code <= 0xdfff;
    return !control && !surrogate && code <= 0x10ffff;
}

/// What is wrong with the characters of an element; empty where nothing is.
std::string faultOfCharacters(std::string_view text) {
    if (text.find('\0') != std::string_view::npos) {
        return "holds a NUL byte";
    }
    if (firstNotUtf8(text) != text.size()) {
        return "holds a byte that is not UTF-8";
    }
    for (std::size_t at = text.find("&#"); at != std::string_view::npos; at = text.find("&#", at + 2)) {
        if (!namesCharacter(text.substr(at, 16))) {
            return "refers to a character that XML does not have";
        }
    }
    return {};
}

}  // namespace

XmlPieces::XmlPieces(PartStream& part, XmlWanted wanted, XmlBounds bounds, std::string file,
                     std::string where)
    : part_(part),
      wanted_(std::move(wanted)),
      bounds_(bounds),
      file_(std::move(file)),
      where_(std::move(where)) {}

std::span<char> XmlPieces::next() {
    while (!problem_ && !stopped_) {
        const char* const data = buffer_.data();
        const void* const found =
            position_ == filled_ ? nullptr : std::memchr(data + position_, '<', filled_ - position_);
        if (found == nullptr) {
            position_ = filled_;
            if (readMore()) {
                continue;
            }
            if (!problem_ && !stopped_ && (depth_ != 0 || !rootSeen_)) {
                fail("ends before it is complete");
            }
            return {};
        }
        position_ = static_cast<std::size_t>(static_cast<const char*>(found) - data);
        const Token token = tokenAt(position_);
        if (token.kind == TokenKind::refused) {
            fail("declares a document type, which no workbook needs and which is not read");
            return {};
        }
        if (token.kind == TokenKind::incomplete) {
            if (!readMore() && !problem_ && !stopped_) {
                fail("ends before it is complete");
            }
            continue;
        }
        const std::size_t begin = std::exchange(position_, token.end);
        bool complete = false;
        if (token.kind == TokenKind::open || token.kind == TokenKind::selfClosed) {
            if (stepInto(token)) {
                piece_ = begin;
            }
            complete = token.kind == TokenKind::selfClosed && leave();
        } else if (token.kind == TokenKind::close) {
            complete = leave();
        }
        if (complete && !problem_) {
            return finishPiece(token.end);
        }
    }
    return {};
}

/// One level down; true where a wanted element begins.
bool XmlPieces::stepInto(const Token& token) {
    ++depth_;
    rootSeen_ = true;
    if (depth_ > bounds_.depth) {
        fail("is nested deeper than the " + std::to_string(bounds_.depth) + " levels that are read");
        return false;
    }
    if (depth_ + 1 == wanted_.depth) {
        parent_ = token.name;
    }
    return depth_ == wanted_.depth && isWanted(token.name);
}

/// One level up; true where this ends a wanted element.
bool XmlPieces::leave() {
    if (depth_ == 0) {
        fail("closes an element that is not open");
        return false;
    }
    --depth_;
    return depth_ + 1 == wanted_.depth && piece_ != none;
}

bool XmlPieces::isWanted(std::string_view name) const {
    return std::any_of(wanted_.elements.begin(), wanted_.elements.end(), [&](const XmlElement& element) {
        return element.parent == parent_ && (element.name.empty() || element.name == name);
    });
}

std::span<char> XmlPieces::finishPiece(std::size_t end) {
    const std::span<char> piece{buffer_.data() + piece_, end - piece_};
    piece_ = none;
    if (const std::string fault = faultOfCharacters({piece.data(), piece.size()}); !fault.empty()) {
        fail(fault);
        return {};
    }
    return piece;
}

/// Expands the next bytes behind those that are still wanted; false at the end and where there is a problem.
bool XmlPieces::readMore() {
    const std::size_t keep = std::min(piece_, position_);
    if (filled_ - keep > bounds_.pieceBytes) {
        fail("has a row, text or tag of more than the " + megabytes(bounds_.pieceBytes) + " that are read");
        return false;
    }
    if (keep > 0) {
        std::memmove(buffer_.data(), buffer_.data() + keep, filled_ - keep);
        filled_ -= keep;
        position_ -= keep;
        piece_ = piece_ == none ? none : 0;
    }
    const std::size_t chunk = std::clamp(buffer_.size(), firstChunkBytes, chunkBytes);
    if (buffer_.size() < filled_ + chunk) {
        buffer_.resize(filled_ + chunk);
    }
    const Result<std::size_t> got = part_.read({buffer_.data() + filled_, chunk});
    if (!got) {
        problem_ = got.problem();
        return false;
    }
    filled_ += got.value();
    if (isStopped(got.value())) {
        return false;
    }
    return got.value() > 0 && (begun_ || checkBegin());
}

bool XmlPieces::isStopped(std::size_t got) {
    sinceAsked_ += got;
    if (goOn_ && sinceAsked_ >= bytesPerQuestion) {
        sinceAsked_ = 0;
        stopped_ = !goOn_();
    }
    return stopped_;
}

bool XmlPieces::checkBegin() {
    begun_ = true;
    const std::string_view text{buffer_.data(), filled_};
    const bool marked = text.starts_with("\xff\xfe") || text.starts_with("\xfe\xff");
    if (marked || text.substr(0, 4).find('\0') != std::string_view::npos) {
        fail("is not written in UTF-8");
        return false;
    }
    return true;
}

XmlPieces::Token XmlPieces::tokenAt(std::size_t begin) {
    const std::string_view text{buffer_.data() + begin, filled_ - begin};
    if (text.size() < 2) {
        return {};
    }
    if (text[1] == '?') {
        return otherToken(begin, "?>");
    }
    if (text[1] != '!') {
        return tagToken(begin);
    }
    constexpr std::string_view comment = "<!--";
    constexpr std::string_view data = "<![CDATA[";
    if (text.starts_with(comment)) {
        return otherToken(begin + comment.size(), "-->");
    }
    if (text.starts_with(data)) {
        return otherToken(begin + data.size(), "]]>");
    }
    const bool tooShort = comment.starts_with(text) || data.starts_with(text);
    return {tooShort ? TokenKind::incomplete : TokenKind::refused, begin, {}};
}

XmlPieces::Token XmlPieces::otherToken(std::size_t begin, std::string_view close) {
    const std::size_t found = std::string_view{buffer_.data(), filled_}.find(close, begin);
    return found == std::string_view::npos ? Token{} : Token{TokenKind::other, found + close.size(), {}};
}

XmlPieces::Token XmlPieces::tagToken(std::size_t begin) {
    const char* const data = buffer_.data();
    for (std::size_t i = begin + 1; i < filled_; ++i) {
        const char c = data[i];
        if (c == '>') {
            const bool closes = data[begin + 1] == '/';
            if (closes) {
                return {TokenKind::close, i + 1, {}};
            }
            // The name matters only where elements are told apart.
            const bool named = depth_ < wanted_.depth;
            const std::string_view tag{data + begin + 1, i - begin - 1};
            return {tag.ends_with('/') ? TokenKind::selfClosed : TokenKind::open, i + 1,
                    named ? localName(tag) : std::string_view{}};
        }
        if (c == '"' || c == '\'') {
            const void* const end = std::memchr(data + i + 1, c, filled_ - i - 1);
            if (end == nullptr) {
                return {};
            }
            i = static_cast<std::size_t>(static_cast<const char*>(end) - data);
        }
    }
    return {};
}

void XmlPieces::fail(std::string what) {
    problem_ = damagedWorkbook(file_, where_ + " " + std::move(what));
}

}  // namespace aftercurve
