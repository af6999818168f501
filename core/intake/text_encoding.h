#pragma once

#include <cstddef>
#include <optional>
#include <string>
#include <string_view>

namespace aftercurve {

/// Encoding of a text, as TextDialect names it: by byte order mark (UTF-8, UTF-16); else UTF-16 where more
/// than a quarter of the 16-bit units of the first 64 KiB have a NUL as their high byte and few have one as
/// their low byte; else UTF-8 where all bytes are well-formed UTF-8; else "latin-1".
std::string encodingOf(std::string_view bytes);

/// True for the names that TextDialect lists.
bool isKnownEncoding(std::string_view encoding);

/// A text as UTF-8, one piece after the other, byte order mark left out. A piece of UTF-8 is checked and
/// shown where it stands, without a copy; other encodings are decoded into a buffer of some MB. "latin-1" is
/// read as Windows-1252 (the two differ in 0x80 to 0x9F only, which Latin-1 has no characters for).
class TextPieces {
  public:
    static constexpr std::size_t usualPieceBytes = std::size_t{4} << 20;

    /// `bytes` must outlive the pieces. A known encoding is a precondition.
    TextPieces(std::string_view bytes, std::string_view encoding, std::size_t pieceBytes = usualPieceBytes);

    /// The next piece, with the last `left` bytes of the one before at its begin. Valid until the next call.
    std::string_view next(std::size_t left);

    /// True once the piece given last reaches the end of the text.
    bool atEnd() const { return done_ == bytes_.size() && !fault_; }
    /// Why the text cannot be decoded past the piece given last ("a byte is not UTF-8"); nothing where it
    /// can.
    const std::optional<std::string>& fault() const { return fault_; }
    /// Bytes of the file done so far.
    std::size_t bytesDone() const { return done_; }

  private:
    std::string_view nextInPlace(std::size_t left);
    char* decodeUtf16(std::string_view in, char* out);
    char* decodeWindows1252(std::string_view in, char* out);

    enum class Encoding { utf8, utf16le, utf16be, windows1252 };

    std::string_view bytes_;
    Encoding encoding_;
    std::size_t pieceBytes_;
    std::size_t done_ = 0;
    std::string buffer_;
    std::size_t filled_ = 0;  ///< bytes of the buffer that the last piece took
    std::optional<std::string> fault_;
};

}  // namespace aftercurve
