#pragma once

#include <string>
#include <vector>

namespace aftercurve {

/// How a cell of a workbook looks.
struct SheetStyle {
    std::string format;       ///< code of a number format; empty: general
    bool bold = false;        ///< header: bold, with a line below
    bool muted = false;       ///< grey
    bool keptAsText = false;  ///< stays a text when it is edited
    bool wrapped = false;

    bool operator==(const SheetStyle&) const = default;
};

/// The styles that a workbook uses, each once, and the part that holds them.
class SheetStyles {
  public:
    /// Position of a style, as cells name it; 0 for the plain one.
    std::size_t indexOf(const SheetStyle& style);

    /// xl/styles.xml.
    std::string part() const;

  private:
    std::vector<SheetStyle> styles_ = {SheetStyle{}};
};

}  // namespace aftercurve
