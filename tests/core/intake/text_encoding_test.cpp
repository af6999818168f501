// Decoding, against the C library's iconv as an outside decoder.
#include "core/intake/text_encoding.h"

#include <gtest/gtest.h>

#include <string>

#include "tests/support/encoded.h"

namespace aftercurve {
namespace {

using test::encoded;

const std::string mixed = "Gerste µmol/l, Ö; 20 €\n‘Erbse’ … œ\r\nplain ASCII only here, more than a piece\n";

std::string decoded(const std::string& bytes, const std::string& encoding, std::size_t pieceBytes,
                    std::size_t left = 0) {
    TextPieces pieces{bytes, encoding, pieceBytes};
    std::string text{pieces.next(0)};
    while (!pieces.atEnd() && !pieces.fault()) {
        const std::size_t kept = std::min(left, text.size());
        const std::string_view piece = pieces.next(std::min(kept, left));
        EXPECT_EQ(piece.substr(0, kept), std::string_view{text}.substr(text.size() - kept));
        text += piece.substr(kept);
    }
    return text;
}

TEST(TextEncoding, PiecesOfAnyLengthDecodeAsTheLibraryDoes) {
    for (const char* encoding : {"utf-8", "utf-16le", "utf-16be", "latin-1"}) {
        for (const bool astral : {false, true}) {
            const std::string text = astral ? mixed + "𝛼 and 𝛽\n" : mixed;
            if (astral && std::string{encoding} == "latin-1") {
                continue;
            }
            const std::string bytes = encoded(text, encoding);
            for (std::size_t pieceBytes = 8; pieceBytes < 40; ++pieceBytes) {
                EXPECT_EQ(decoded(bytes, encoding, pieceBytes), text) << encoding << pieceBytes;
            }
        }
    }
}

TEST(TextEncoding, WhatIsLeftOfAPieceStandsBeforeTheNext) {
    for (const char* encoding : {"utf-8", "utf-16le", "latin-1"}) {
        // The same length is left each time; the first piece is longer than that in every encoding.
        EXPECT_EQ(decoded(encoded(mixed, encoding), encoding, 16, 5), mixed) << encoding;
    }
}

TEST(TextEncoding, AMarkNamesTheEncodingAndIsNoText) {
    EXPECT_EQ(encodingOf("\xef\xbb\xbf"
                         "a,b"),
              "utf-8");
    EXPECT_EQ(encodingOf(std::string("\xff\xfe"
                                     "a\0,\0",
                                     6)),
              "utf-16le");
    EXPECT_EQ(encodingOf(std::string("\xfe\xff\0a\0,", 6)), "utf-16be");
    EXPECT_EQ(decoded("\xef\xbb\xbf"
                      "ab",
                      "utf-8", 8),
              "ab");
    EXPECT_EQ(decoded(std::string("\xff\xfe"
                                  "a\0b\0",
                                  6),
                      "utf-16le", 8),
              "ab");
    EXPECT_EQ(decoded(std::string("\xfe\xff\0a\0b", 6), "utf-16be", 8), "ab");
}

TEST(TextEncoding, WithoutAMarkTheBytesTell) {
    EXPECT_EQ(encodingOf("a,b\n1,2\n"), "utf-8");
    EXPECT_EQ(encodingOf(encoded(mixed, "utf-8")), "utf-8");
    EXPECT_EQ(encodingOf(encoded(mixed, "utf-16le")), "utf-16le");
    EXPECT_EQ(encodingOf(encoded(mixed, "utf-16be")), "utf-16be");
    EXPECT_EQ(encodingOf(encoded(mixed, "latin-1")), "latin-1");
    // A single NUL makes no UTF-16.
    EXPECT_EQ(encodingOf(std::string("glucose,insulin\n5.1,\0\n", 22)), "utf-8");
    // The one byte that is not ASCII may stand far behind.
    std::string late(5'000'000, 'a');
    late.push_back('\xb5');
    EXPECT_EQ(encodingOf(late), "latin-1");
}

TEST(TextEncoding, WhatDoesNotDecodeSaysWhy) {
    const auto faultOf = [](const std::string& bytes, const char* encoding) {
        TextPieces pieces{bytes, encoding};
        const std::string text{pieces.next(0)};
        EXPECT_FALSE(pieces.atEnd());
        return text + "|" + pieces.fault().value_or("");
    };
    EXPECT_EQ(faultOf("ab\xff"
                      "c",
                      "utf-8"),
              "ab|a byte is not UTF-8");
    EXPECT_EQ(faultOf(std::string("ab\0c", 4), "utf-8"), "ab|a NUL byte stands in the text");
    EXPECT_EQ(faultOf(std::string("ab\0c", 4), "latin-1"), "ab|a NUL byte stands in the text");
    EXPECT_EQ(faultOf("ab\x81", "latin-1"), "ab|a byte stands for no character of Windows-1252");
    EXPECT_EQ(faultOf(std::string("a\0\0\0", 4), "utf-16le"), "a|a NUL byte stands in the text");
    EXPECT_EQ(faultOf(std::string("a\0\0\xdc", 4), "utf-16le"), "a|half a character of UTF-16 stands alone");
    EXPECT_EQ(faultOf(std::string("a\0\0\xd8", 4), "utf-16le"), "a|half a character of UTF-16 stands alone");
    EXPECT_EQ(faultOf(std::string("a\0b", 3), "utf-16le"),
              "a|the text ends in the middle of a character of UTF-16");
}

}  // namespace
}  // namespace aftercurve
