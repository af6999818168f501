#include "core/edit/cell_reading.h"

#include <cmath>

#include "core/base/number_text.h"
#include "core/files/delimited.h"
#include "core/files/excerpt.h"
#include "core/files/number_cell.h"

namespace aftercurve {

Result<std::string> jsonTextFrom(std::string_view text, std::string_view column) {
    if (std::string fault = faultOfText(text, longestJsonText); !fault.empty()) {
        return cellProblem(column, std::string{column} + ": " + fault, "write it in one line");
    }
    return std::string{text};
}

Result<std::string> fileTextFrom(std::string_view text, std::string_view column, std::size_t longest) {
    if (std::string fault = faultOfText(text, longest); !fault.empty()) {
        return cellProblem(column, std::string{column} + ": " + fault,
                           "write it in one line of at most " + std::to_string(longest) + " bytes");
    }
    return std::string{trimmed(text)};
}

Result<std::string> nameFrom(std::string_view text, std::string_view column) {
    Result<std::string> name = fileTextFrom(text, column, longestName);
    if (name && name.value().empty()) {
        return cellProblem(column, "the " + std::string{column} + " is empty", "name it in the row");
    }
    return name;
}

Result<std::string> entryIdFrom(std::string_view text, const std::string& thing, bool takesBack) {
    std::string fault = faultOfText(text, longestName);
    if (text.empty()) {
        fault = "it is empty";
    } else if (fault.empty() && !takesBack && trimmed(text) != text) {
        fault = quote(text) + " has blanks at its ends";
    }
    if (!fault.empty()) {
        return cellProblem("id", "the id of " + thing + ": " + fault, "give it a short id in one line");
    }
    return std::string{text};
}

Result<bool> yesOrNoFrom(std::string_view text, std::string_view column, bool absent) {
    const std::string_view word = trimmed(text);
    if (word.empty()) {
        return absent;
    }
    if (word == "yes" || word == "true" || word == "1") {
        return true;
    }
    if (word == "no" || word == "false" || word == "0") {
        return false;
    }
    return cellProblem(column, std::string{column} + " is " + quote(word), "write yes or no");
}

std::string yesOrNo(bool value) {
    return value ? "yes" : "no";
}

Result<std::optional<double>> amountFrom(std::string_view text, std::string_view column, double least,
                                         double most) {
    const NumberCell number = readNumber(text);
    if (number.kind == NumberKind::missing) {
        return std::optional<double>{};
    }
    if (number.kind == NumberKind::value && number.value >= least && number.value <= most) {
        return std::optional{number.value};
    }
    const std::string limits = plainNumber(least) + " to " + plainNumber(most);
    const std::string fault = number.kind == NumberKind::value ? quote(text) + " lies outside " + limits
                                                               : faultOf(number.kind, text);
    return cellProblem(column, std::string{column} + ": " + fault,
                       "enter a number from " + limits + ", or leave it empty");
}

Result<std::optional<int>> wholeFrom(std::string_view text, std::string_view column, int least, int most) {
    const Result<std::optional<double>> number = amountFrom(text, column, least, most);
    if (!number) {
        return number.problem();
    }
    if (!number.value()) {
        return std::optional<int>{};
    }
    if (*number.value() != std::floor(*number.value())) {
        return cellProblem(column, std::string{column} + ": " + quote(text) + " is not a whole number",
                           "enter a whole number from " + std::to_string(least) + " to " +
                               std::to_string(most) + ", or leave it empty");
    }
    return std::optional{static_cast<int>(*number.value())};
}

Result<std::string> foodIdFrom(const Study& study, std::string_view text, bool takesBack) {
    if (takesBack || trimmed(text).empty()) {
        return jsonTextFrom(takesBack ? text : std::string_view{}, "food");
    }
    const Result<std::uint32_t> food = foodFrom(study, text);
    return food ? Result<std::string>{study.foods[food.value()].id} : food.problem();
}

Result<std::string> subjectIdFrom(const Study& study, std::string_view text, bool takesBack) {
    if (takesBack) {
        return entryIdFrom(text, "the subject", takesBack);
    }
    const Result<std::uint32_t> subject = subjectFrom(study, text);
    return subject ? Result<std::string>{study.subjects[subject.value()].id} : subject.problem();
}

}  // namespace aftercurve
