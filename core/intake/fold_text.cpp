#include "core/intake/fold_text.h"

#include <algorithm>
#include <array>

#include "core/files/utf8.h"

namespace aftercurve {

namespace {

/// Letters up to and including `last` have this base letter.
struct Base {
    char32_t last;
    std::string_view letter;
};

/// Latin-1 letters from U+00C0 on (U+00E0 to U+00FF are the same, lower case), then Latin Extended-A.
constexpr std::array<Base, 14> latin1{{{0xC5, "a"},
                                       {0xC6, "ae"},
                                       {0xC7, "c"},
                                       {0xCB, "e"},
                                       {0xCF, "i"},
                                       {0xD0, "d"},
                                       {0xD1, "n"},
                                       {0xD6, "o"},
                                       {0xD7, " "},
                                       {0xD8, "o"},
                                       {0xDC, "u"},
                                       {0xDD, "y"},
                                       {0xDE, "th"},
                                       {0xDF, "ss"}}};
constexpr std::array<Base, 21> extendedA{
    {{0x105, "a"},  {0x10D, "c"}, {0x111, "d"}, {0x11B, "e"}, {0x123, "g"}, {0x127, "h"}, {0x131, "i"},
     {0x133, "ij"}, {0x135, "j"}, {0x138, "k"}, {0x142, "l"}, {0x14B, "n"}, {0x151, "o"}, {0x153, "oe"},
     {0x159, "r"},  {0x161, "s"}, {0x167, "t"}, {0x173, "u"}, {0x175, "w"}, {0x178, "y"}, {0x17E, "z"}}};

template <class Table>
std::string_view baseIn(const Table& table, char32_t code) {
    for (const Base& base : table) {
        if (code <= base.last) {
            return base.letter;
        }
    }
    return " ";
}

std::string_view baseOf(char32_t code) {
    if (code == 0xB5 || code == 0x3BC) {
        return "u";
    }
    if (code == 0xFF) {
        return "y";
    }
    if (code >= 0xC0 && code < 0xFF) {
        return baseIn(latin1, code == 0xDF ? code : code >= 0xE0 ? code - 0x20 : code);
    }
    return code >= 0x100 && code <= 0x17E ? baseIn(extendedA, code) : " ";
}

/// Length of the blank that `text` begins with; 0 where there is none.
std::size_t blankAt(std::string_view text) {
    if (text.empty()) {
        return 0;
    }
    const char c = text.front();
    if (c == ' ' || c == '\t' || c == '\n' || c == '\r') {
        return 1;
    }
    return text.starts_with("\xc2\xa0") ? 2 : 0;
}

}  // namespace

std::string foldedWords(std::string_view text) {
    std::string folded;
    const auto add = [&folded](char c) {
        if (c != ' ' || (!folded.empty() && folded.back() != ' ')) {
            folded += c;
        }
    };
    while (!text.empty()) {
        const Utf8Character character = firstCharacter(text);
        text.remove_prefix(std::max<std::size_t>(character.length, 1));
        const char32_t code = character.length == 0 ? U' ' : character.code;
        if (code >= 0x80) {
            for (const char c : baseOf(code)) {
                add(c);
            }
            continue;
        }
        const char c = static_cast<char>(code);
        if (c >= 'A' && c <= 'Z') {
            add(static_cast<char>(c - 'A' + 'a'));
        } else {
            add((c >= 'a' && c <= 'z') || (c >= '0' && c <= '9') ? c : ' ');
        }
    }
    if (!folded.empty() && folded.back() == ' ') {
        folded.pop_back();
    }
    return folded;
}

std::string_view strippedOfBlanks(std::string_view text) {
    while (const std::size_t length = blankAt(text)) {
        text.remove_prefix(length);
    }
    while (!text.empty()) {
        if (blankAt(text.substr(text.size() - 1)) == 1) {
            text.remove_suffix(1);
        } else if (text.size() >= 2 && blankAt(text.substr(text.size() - 2)) == 2) {
            text.remove_suffix(2);
        } else {
            break;
        }
    }
    return text;
}

std::vector<std::string_view> wordsOf(std::string_view folded) {
    std::vector<std::string_view> words;
    while (!folded.empty()) {
        const std::size_t end = std::min(folded.find(' '), folded.size());
        words.push_back(folded.substr(0, end));
        folded.remove_prefix(std::min(end + 1, folded.size()));
    }
    return words;
}

std::string idFrom(std::string_view text) {
    std::string id = foldedWords(text).substr(0, 60);
    std::replace(id.begin(), id.end(), ' ', '-');
    return id.empty() ? "food" : id;
}

}  // namespace aftercurve
