#include "core/publish/workbook_part.h"

#include <algorithm>
#include <cmath>

#include "core/base/html_text.h"
#include "core/base/number_text.h"
#include "core/files/csv_cell.h"
#include "core/files/utf8.h"
#include "core/publish/clean_text.h"
#include "core/publish/workbook_tables.h"

namespace aftercurve {

namespace {

constexpr std::size_t narrowest = 8;
constexpr std::size_t widest = 60;
constexpr std::int64_t largestExact = std::int64_t{1} << 53;
constexpr char32_t lastOfOneUnit = 0xFFFF;

/// "AB" for 27.
std::string columnLetters(std::size_t column) {
    std::string letters;
    for (std::size_t rest = column + 1; rest > 0; rest = (rest - 1) / 26) {
        letters.insert(letters.begin(), static_cast<char>('A' + static_cast<int>((rest - 1) % 26)));
    }
    return letters;
}

/// Bytes of the text that fit into a cell.
std::size_t fittingBytes(std::string_view text) {
    std::size_t units = 0;
    std::size_t bytes = 0;
    while (bytes < text.size()) {
        const Utf8Character character = firstCharacter(text.substr(bytes));
        units += character.code > lastOfOneUnit ? 2 : 1;
        if (units > longestSheetText) {
            break;
        }
        bytes += std::max<std::size_t>(character.length, 1);
    }
    return bytes;
}

bool isEscape(std::string_view text) {
    const auto isHex = [](char c) {
        return (c >= '0' && c <= '9') || (c >= 'a' && c <= 'f') || (c >= 'A' && c <= 'F');
    };
    return text.size() >= 7 && text[0] == '_' && text[1] == 'x' && text[6] == '_' &&
           std::all_of(text.begin() + 2, text.begin() + 6, isHex);
}

}  // namespace

std::string sheetString(std::string_view text) {
    std::string escaped;
    for (std::size_t i = 0; i < text.size(); ++i) {
        escaped += isEscape(text.substr(i)) ? std::string{"_x005F_"} : std::string{text[i]};
    }
    return escaped;
}

void SheetPart::beginRow() {
    rows_ += row_ == 0 ? "" : "</row>";
    ++row_;
    column_ = 0;
    rows_ += "<row r=\"" + std::to_string(row_) + "\">";
}

void SheetPart::widen(std::size_t letters) {
    widths_.resize(std::max(widths_.size(), column_ + 1), narrowest);
    widths_[column_] = std::max(widths_[column_], std::min(letters + 2, widest));
}

std::string SheetPart::cellHead(const SheetStyle& style) {
    return "<c r=\"" + columnLetters(column_) + std::to_string(row_) + "\" s=\"" +
           std::to_string(styles_.indexOf(style)) + "\"";
}

void SheetPart::addText(std::string_view text, SheetStyle style) {
    std::string clean = cleanText(text, LineBreaks::kept);
    const std::size_t fitting = fittingBytes(clean);
    if (fitting < clean.size()) {
        clean.resize(fitting);
        ++shortened_;
    }
    style.keptAsText = spreadsheetWouldRun(clean);
    widen(lettersIn(clean));
    rows_ += cellHead(style) + " t=\"inlineStr\"><is><t xml:space=\"preserve\">" +
             htmlEscaped(sheetString(clean)) + "</t></is></c>";
    ++column_;
}

void SheetPart::addNumber(double value, const SheetStyle& style) {
    const bool finite = std::isfinite(value);
    widen(style.format.size() + narrowest / 2);
    rows_ += cellHead(style) + (finite ? "><v>" + plainNumber(value) : " t=\"e\"><v>#NUM!") + "</v></c>";
    ++column_;
}

void SheetPart::addCount(std::int64_t count, SheetStyle style) {
    if (count > largestExact || count < -largestExact) {
        style.format.clear();
        const std::size_t column = column_;
        addText(std::to_string(count), style);
        column_ = column + 1;
        return;
    }
    widen(std::to_string(count).size());
    rows_ += cellHead(style) + "><v>" + std::to_string(count) + "</v></c>";
    ++column_;
}

std::string SheetPart::xml(bool selected) const {
    std::string xml =
        "<?xml version=\"1.0\" encoding=\"UTF-8\" standalone=\"yes\"?>\n"
        "<worksheet "
        "xmlns=\"http://schemas.openxmlformats.org/spreadsheetml/2006/main\"><sheetViews><sheetView ";
    xml += selected ? "tabSelected=\"1\" " : "";
    xml +=
        "workbookViewId=\"0\"><pane ySplit=\"1\" topLeftCell=\"A2\" activePane=\"bottomLeft\" "
        "state=\"frozen\"/><selection pane=\"bottomLeft\"/></sheetView></sheetViews>"
        "<sheetFormatPr defaultRowHeight=\"15\"/>";
    if (!widths_.empty()) {
        xml += "<cols>";
        for (std::size_t c = 0; c < widths_.size(); ++c) {
            const std::string position = std::to_string(c + 1);
            xml += "<col min=\"" + position + "\" max=\"" + position + "\" width=\"" +
                   std::to_string(widths_[c]) + "\" customWidth=\"1\"/>";
        }
        xml += "</cols>";
    }
    return xml + "<sheetData>" + rows_ + (row_ == 0 ? "" : "</row>") + "</sheetData></worksheet>";
}

}  // namespace aftercurve
