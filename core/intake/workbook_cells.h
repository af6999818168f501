#pragma once

#include <pugixml.hpp>
#include <string>
#include <string_view>
#include <vector>

#include "core/intake/source.h"
#include "core/intake/text_arena.h"
#include "core/intake/workbook_dates.h"
#include "core/intake/workbook_strings.h"

namespace aftercurve {

/// What the cells of all sheets of a workbook refer to.
struct CellContext {
    SharedStrings strings;
    std::vector<NumberForm> styles;
    bool date1904 = false;
};

/// Text of a cell whose formula has no stored value: nothing here computes formulas.
inline constexpr std::string_view noStoredValue = "formula without stored value";

/// Reads the cells of one row of a sheet.
class CellReader {
  public:
    /// `context` must outlive the reader.
    CellReader(const CellContext& context, std::size_t columns) : context_(context), columns_(columns) {}

    /// Cells of a parsed <row> up to the last that is not empty. Numbers take the form of their style
    /// (workbook_dates.h); whole numbers below 1e15 are written with all their digits, others in the shortest
    /// form. An error value, a number that is none and a formula without a stored value become cells of kind
    /// error. False where the row is damaged or has a value past the column bound: fault() says why. Valid
    /// until the next call, or until the row's document changes.
    bool read(pugi::xml_node row, std::vector<RawCell>& cells);
    const std::string& fault() const { return fault_; }

  private:
    struct Parts {
        std::string_view reference;
        std::string_view type;
        std::size_t style = 0;
        pugi::xml_node value;
        pugi::xml_node inlineText;
        bool formula = false;
    };

    static Parts partsOf(pugi::xml_node cell);
    bool fill(const Parts& parts, RawCell& cell);
    bool sharedText(std::string_view index, RawCell& cell);
    void number(std::string_view text, std::size_t style, RawCell& cell);
    void dated(const DatedNumber& value, RawCell& cell);
    void text(CellKind kind, std::string_view text, RawCell& cell);

    const CellContext& context_;
    std::size_t columns_;
    TextArena arena_;
    std::string scratch_;
    std::string fault_;
};

}  // namespace aftercurve
