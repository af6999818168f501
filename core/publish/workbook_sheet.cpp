#include <xlsxwriter.h>

#include <algorithm>
#include <array>
#include <charconv>
#include <cmath>

#include "core/files/csv_cell.h"
#include "core/files/utf8.h"
#include "core/publish/clean_text.h"
#include "core/publish/workbook_file.h"
#include "core/publish/workbook_tables.h"

namespace aftercurve {

namespace {

constexpr std::size_t narrowest = 8;
constexpr std::size_t widest = 60;
constexpr std::int64_t largestExact = std::int64_t{1} << 53;
constexpr char32_t lastOfOneUnit = 0xFFFF;
constexpr int libraryDigits = 16;  ///< significant ones; libxlsxwriter prints "%.16G"
constexpr std::uint8_t paperA4 = 9;

bool isEscape(std::string_view text) {
    const auto isHex = [](char c) {
        return (c >= '0' && c <= '9') || (c >= 'a' && c <= 'f') || (c >= 'A' && c <= 'F');
    };
    return text.size() >= 7 && text[0] == '_' && text[1] == 'x' && text[6] == '_' &&
           std::all_of(text.begin() + 2, text.begin() + 6, isHex);
}

/// As much of a clean text as fits into a cell once it is a string of the format.
std::string fittingString(std::string_view text) {
    std::string fitting;
    std::size_t units = 0;
    while (!text.empty()) {
        const Utf8Character character = firstCharacter(text);
        const std::size_t length = std::max<std::size_t>(character.length, 1);
        const std::string_view written =
            isEscape(text) ? std::string_view{"_x005F_"} : text.substr(0, length);
        units += isEscape(text) ? written.size() : (character.code > lastOfOneUnit ? 2 : 1);
        if (units > longestSheetText) {
            break;
        }
        fitting += written;
        text.remove_prefix(length);
    }
    return fitting;
}

bool libraryLosesDigits(double value) {
    std::array<char, 40> text{};
    const auto end = std::to_chars(text.data(), text.data() + text.size(), value,
                                   std::chars_format::scientific, libraryDigits - 1)
                         .ptr;
    double back = 0.0;
    const auto read = std::from_chars(text.data(), end, back);
    return read.ec != std::errc{} || back != value;
}

}  // namespace

std::string sheetString(std::string_view text) {
    std::string escaped;
    for (std::size_t i = 0; i < text.size(); ++i) {
        escaped += isEscape(text.substr(i)) ? std::string{"_x005F_"} : std::string{text[i]};
    }
    return escaped;
}

void WorkbookSheet::beginRow() {
    ++rows_;
    column_ = 0;
}

void WorkbookSheet::widen(std::size_t letters) {
    widths_.resize(std::max(widths_.size(), column_ + 1), narrowest);
    widths_[column_] = std::max(widths_[column_], std::min(letters + 2, widest));
}

void WorkbookSheet::addText(std::string_view text, SheetStyle style) {
    const std::string clean = cleanText(text, LineBreaks::kept);
    if (clean.empty()) {
        skipCell();
        return;
    }
    const std::string written = fittingString(clean);
    if (written.size() < sheetString(clean).size()) {
        ++shortened_;
    }
    if (spreadsheetWouldRun(clean)) {
        style.format = "@";
    }
    widen(lettersIn(clean));
    file_.keep(worksheet_write_string(sheet_, static_cast<lxw_row_t>(rows_ - 1),
                                      static_cast<lxw_col_t>(column_), written.c_str(),
                                      file_.formatOf(style)));
    ++column_;
}

void WorkbookSheet::addNumber(double value, const SheetStyle& style) {
    if (!std::isfinite(value)) {
        addText("not finite", {"", style.bold, style.muted, style.wrapped});
        return;
    }
    widen(style.format.size() + narrowest / 2);
    const auto row = static_cast<lxw_row_t>(rows_ - 1);
    const auto column = static_cast<lxw_col_t>(column_);
    file_.keep(worksheet_write_number(sheet_, row, column, value, file_.formatOf(style)));
    if (libraryLosesDigits(value)) {
        longNumbers_.push_back({row, column, value});
    }
    ++column_;
}

void WorkbookSheet::addCount(std::int64_t count, SheetStyle style) {
    if (count > largestExact || count < -largestExact) {
        style.format.clear();
        addText(std::to_string(count), style);
        return;
    }
    addNumber(static_cast<double>(count), style);
}

void WorkbookSheet::finish() {
    for (std::size_t c = 0; c < widths_.size(); ++c) {
        const auto column = static_cast<lxw_col_t>(c);
        file_.keep(worksheet_set_column(sheet_, column, column, static_cast<double>(widths_[c]), nullptr));
    }
    worksheet_freeze_panes(sheet_, 1, 0);
    file_.keep(worksheet_repeat_rows(sheet_, 0, 0));
    worksheet_set_landscape(sheet_);
    worksheet_set_paper(sheet_, paperA4);
    worksheet_fit_to_pages(sheet_, 1, 0);
}

}  // namespace aftercurve
