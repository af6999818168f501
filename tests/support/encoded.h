#pragma once

#include <iconv.h>

#include <stdexcept>
#include <string>

namespace aftercurve::test {

/// UTF-8 text in an encoding of TextDialect, by the C library's iconv; no byte order mark.
inline std::string encoded(const std::string& text, const std::string& encoding) {
    const char* const target = encoding == "latin-1"    ? "CP1252"
                               : encoding == "utf-16le" ? "UTF-16LE"
                               : encoding == "utf-16be" ? "UTF-16BE"
                                                        : "UTF-8";
    const iconv_t converter = iconv_open(target, "UTF-8");
    std::string in = text;
    std::string out(4 * text.size() + 4, '\0');
    char* from = in.data();
    char* to = out.data();
    std::size_t fromLeft = in.size();
    std::size_t toLeft = out.size();
    const bool done = iconv(converter, &from, &fromLeft, &to, &toLeft) != static_cast<std::size_t>(-1);
    iconv_close(converter);
    if (!done) {
        throw std::runtime_error("no " + encoding + " for " + text);
    }
    out.resize(out.size() - toLeft);
    return out;
}

}  // namespace aftercurve::test
