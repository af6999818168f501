#pragma once

#include <cstddef>
#include <functional>
#include <optional>
#include <span>
#include <string>
#include <string_view>
#include <utility>
#include <vector>

#include "core/base/problem.h"
#include "core/intake/workbook_archive.h"

namespace aftercurve {

/// Which elements of an XML part are wanted: those named `name` inside an element `parent`, `depth` levels
/// deep (the root is 1). Names are local, whatever prefix stands before them.
struct XmlElement {
    std::string_view parent;
    std::string_view name;  ///< empty: any
};
struct XmlWanted {
    std::size_t depth = 1;
    std::vector<XmlElement> elements;
};

/// Bounds on the XML of a part.
struct XmlBounds {
    std::size_t depth = 64;
    std::size_t pieceBytes = std::size_t{4}
                             << 20;  ///< longest element that is wanted, longest tag or comment
};

/// Cuts the wanted elements out of an XML part while it is expanded, so that a parser sees one at a time and
/// memory does not grow with the part. Refuses: document types (and so entities), nesting past the bound,
/// UTF-16, bytes that are not UTF-8, NUL, references to characters that XML does not have, a part that ends
/// inside an element.
class XmlPieces {
  public:
    /// `where` names the part in problems: "the sheet 'Glucose'".
    XmlPieces(PartStream& part, XmlWanted wanted, XmlBounds bounds, std::string file, std::string where);

    /// The next element from its '<' to its '>', free to be parsed in place until the next call; empty at the
    /// end of the part and where there is a problem().
    std::span<char> next();

    const std::optional<Problem>& problem() const { return problem_; }

    /// `goOn` is asked every 2 MB of the part whether to go on; where it answers false, next() gives nothing
    /// more.
    void askToGoOn(std::function<bool()> goOn) { goOn_ = std::move(goOn); }
    bool stopped() const { return stopped_; }

  private:
    enum class TokenKind { open, selfClosed, close, other, incomplete, refused };
    struct Token {
        TokenKind kind = TokenKind::incomplete;
        std::size_t end = 0;
        std::string_view name;
    };

    bool readMore();
    bool isStopped(std::size_t got);
    Token tokenAt(std::size_t begin);
    Token otherToken(std::size_t begin, std::string_view close);
    Token tagToken(std::size_t begin);
    bool isWanted(std::string_view name) const;
    bool stepInto(const Token& token);
    bool leave();
    std::span<char> finishPiece(std::size_t end);
    void fail(std::string what);
    bool checkBegin();

    static constexpr std::size_t none = static_cast<std::size_t>(-1);

    PartStream& part_;
    XmlWanted wanted_;
    XmlBounds bounds_;
    std::string file_;
    std::string where_;
    std::vector<char> buffer_;
    std::size_t position_ = 0;  ///< what is before has been looked at
    std::size_t filled_ = 0;
    std::size_t piece_ = none;  ///< begin of the element that is being cut
    std::size_t depth_ = 0;
    std::string parent_;  ///< name of the open element one level above the wanted ones
    bool begun_ = false;
    bool rootSeen_ = false;
    std::optional<Problem> problem_;
    std::function<bool()> goOn_;
    std::size_t sinceAsked_ = 0;  ///< bytes
    bool stopped_ = false;
};

}  // namespace aftercurve
