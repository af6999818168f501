#include "core/intake/text_encoding.h"

#include <algorithm>
#include <array>
#include <cassert>
#include <cstdint>
#include <cstring>

#include "core/files/utf8.h"

namespace aftercurve {

namespace {

constexpr std::string_view utf8Mark = "\xef\xbb\xbf";
constexpr std::string_view utf16leMark = "\xff\xfe";
constexpr std::string_view utf16beMark = "\xfe\xff";
constexpr std::size_t probeBytes = std::size_t{64} << 10;
constexpr const char* nulFault = "a NUL byte stands in the text";

/// Code points of 0x80 to 0x9F in Windows-1252 (WHATWG Encoding Standard, index windows-1252); 0 for the five
/// bytes that the code page leaves without a character.
constexpr std::array<char32_t, 32> windowsHigh{
    0x20ac, 0,      0x201a, 0x0192, 0x201e, 0x2026, 0x2020, 0x2021, 0x02c6, 0x2030, 0x0160,
    0x2039, 0x0152, 0,      0x017d, 0,      0,      0x2018, 0x2019, 0x201c, 0x201d, 0x2022,
    0x2013, 0x2014, 0x02dc, 0x2122, 0x0161, 0x203a, 0x0153, 0,      0x017e, 0x0178};

unsigned byteAt(std::string_view text, std::size_t i) {
    return static_cast<unsigned char>(text[i]);
}

char* putUtf8(char32_t code, char* out) {
    const auto put = [&out](char32_t byte) { *out++ = static_cast<char>(static_cast<unsigned char>(byte)); };
    if (code < 0x80) {
        put(code);
    } else if (code < 0x800) {
        put(0xc0u | (code >> 6));
        put(0x80u | (code & 0x3fu));
    } else if (code < 0x10000) {
        put(0xe0u | (code >> 12));
        put(0x80u | ((code >> 6) & 0x3fu));
        put(0x80u | (code & 0x3fu));
    } else {
        put(0xf0u | (code >> 18));
        put(0x80u | ((code >> 12) & 0x3fu));
        put(0x80u | ((code >> 6) & 0x3fu));
        put(0x80u | (code & 0x3fu));
    }
    return out;
}

std::string encodingByNuls(std::string_view bytes) {
    const std::string_view probe = bytes.substr(0, probeBytes);
    const std::size_t units = probe.size() / 2;
    std::size_t evenNuls = 0;
    std::size_t oddNuls = 0;
    for (std::size_t i = 0; i < units; ++i) {
        evenNuls += probe[2 * i] == '\0' ? 1u : 0u;
        oddNuls += probe[2 * i + 1] == '\0' ? 1u : 0u;
    }
    if (4 * oddNuls > units && 4 * evenNuls < oddNuls) {
        return "utf-16le";
    }
    if (4 * evenNuls > units && 4 * oddNuls < evenNuls) {
        return "utf-16be";
    }
    return {};
}

}  // namespace

std::string encodingOf(std::string_view bytes) {
    if (bytes.starts_with(utf8Mark)) {
        return "utf-8";
    }
    if (bytes.starts_with(utf16leMark)) {
        return "utf-16le";
    }
    if (bytes.starts_with(utf16beMark)) {
        return "utf-16be";
    }
    if (std::string byNuls = encodingByNuls(bytes); !byNuls.empty()) {
        return byNuls;
    }
    return firstNotUtf8(bytes) == bytes.size() ? "utf-8" : "latin-1";
}

bool isKnownEncoding(std::string_view encoding) {
    return encoding == "utf-8" || encoding == "utf-16le" || encoding == "utf-16be" || encoding == "latin-1";
}

TextPieces::TextPieces(std::string_view bytes, std::string_view encoding, std::size_t pieceBytes)
    : bytes_(bytes), encoding_(Encoding::windows1252), pieceBytes_(std::max<std::size_t>(pieceBytes, 8)) {
    assert(isKnownEncoding(encoding));
    std::string_view mark;
    if (encoding == "utf-8") {
        encoding_ = Encoding::utf8;
        mark = utf8Mark;
    } else if (encoding == "utf-16le") {
        encoding_ = Encoding::utf16le;
        mark = utf16leMark;
    } else if (encoding == "utf-16be") {
        encoding_ = Encoding::utf16be;
        mark = utf16beMark;
    }
    if (bytes_.starts_with(mark)) {
        bytes_.remove_prefix(mark.size());
    }
}

std::string_view TextPieces::next(std::size_t left) {
    if (encoding_ == Encoding::utf8) {
        return nextInPlace(left);
    }
    assert(left <= filled_);
    const std::string_view in = bytes_.substr(done_, pieceBytes_ - pieceBytes_ % 2);
    // No character of these encodings takes more than three bytes of UTF-8 for one of its own.
    if (const std::size_t wanted = left + 3 * in.size(); buffer_.size() < wanted) {
        buffer_.resize(wanted);
    }
    std::memmove(buffer_.data(), buffer_.data() + (filled_ - left), left);
    char* const begin = buffer_.data() + left;
    char* const end =
        encoding_ == Encoding::windows1252 ? decodeWindows1252(in, begin) : decodeUtf16(in, begin);
    filled_ = static_cast<std::size_t>(end - buffer_.data());
    return std::string_view{buffer_}.substr(0, filled_);
}

std::string_view TextPieces::nextInPlace(std::size_t left) {
    assert(left <= done_);
    const std::size_t begin = done_ - left;
    std::size_t end = std::min(bytes_.size(), done_ + pieceBytes_);
    // A character is not cut in two.
    for (int back = 0; back < 3 && end < bytes_.size() && (byteAt(bytes_, end) & 0xc0u) == 0x80u; ++back) {
        --end;
    }
    const std::string_view added = bytes_.substr(done_, end - done_);
    const std::size_t good = firstNotUtf8(added);
    const std::size_t nul = added.substr(0, good).find('\0');
    if (nul != std::string_view::npos) {
        fault_ = nulFault;
        end = done_ + nul;
    } else if (good != added.size()) {
        fault_ = "a byte is not UTF-8";
        end = done_ + good;
    }
    done_ = end;
    return bytes_.substr(begin, end - begin);
}

char* TextPieces::decodeUtf16(std::string_view in, char* out) {
    const std::size_t low = encoding_ == Encoding::utf16le ? 0 : 1;
    const auto unitAt = [&](std::size_t i) {
        return static_cast<char32_t>(byteAt(in, i + low) | (byteAt(in, i + 1 - low) << 8));
    };
    std::size_t i = 0;
    for (; i + 1 < in.size(); i += 2) {
        char32_t code = unitAt(i);
        if (code >= 0xd800 && code <= 0xdfff) {
            if (code <= 0xdbff && i + 3 >= in.size() && done_ + in.size() < bytes_.size()) {
                break;  // its second half comes with the next piece
            }
            const char32_t second = i + 3 < in.size() ? unitAt(i + 2) : 0;
            if (code > 0xdbff || second < 0xdc00 || second > 0xdfff) {
                fault_ = "half a character of UTF-16 stands alone";
                break;
            }
            code = 0x10000 + ((code - 0xd800) << 10) + (second - 0xdc00);
            i += 2;
        } else if (code == 0) {
            fault_ = nulFault;
            break;
        }
        out = putUtf8(code, out);
    }
    done_ += i;
    if (!fault_ && i + 1 == in.size()) {
        fault_ = "the text ends in the middle of a character of UTF-16";
    }
    return out;
}

char* TextPieces::decodeWindows1252(std::string_view in, char* out) {
    std::size_t i = 0;
    for (; i < in.size(); ++i) {
        const unsigned byte = byteAt(in, i);
        const char32_t code = byte >= 0x80 && byte <= 0x9f ? windowsHigh[byte - 0x80] : byte;
        if (code == 0) {
            fault_ = byte == 0 ? nulFault : "a byte stands for no character of Windows-1252";
            break;
        }
        out = putUtf8(code, out);
    }
    done_ += i;
    return out;
}

}  // namespace aftercurve
