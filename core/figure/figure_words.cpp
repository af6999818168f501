#include "core/figure/figure_words.h"

#include <algorithm>
#include <array>

#include "core/base/words.h"

namespace aftercurve {

namespace {

constexpr Words<FigureSpread, 3> spreads{{{FigureSpread::standardError, "sem"},
                                          {FigureSpread::standardDeviation, "sd"},
                                          {FigureSpread::confidenceInterval, "ci"}}};
constexpr Words<FigureLanguage, 3> languages{
    {{FigureLanguage::english, "en"}, {FigureLanguage::german, "de"}, {FigureLanguage::swedish, "sv"}}};
constexpr Words<PanelLetters, 3> letterings{
    {{PanelLetters::none, "none"}, {PanelLetters::capital, "capital"}, {PanelLetters::small, "small"}}};
constexpr Words<FoodMark, 5> marks{{{FoodMark::circle, "circle"},
                                    {FoodMark::square, "square"},
                                    {FoodMark::triangle, "triangle"},
                                    {FoodMark::diamond, "diamond"},
                                    {FoodMark::triangleDown, "triangle-down"}}};
constexpr Words<FoodDash, 6> dashes{{{FoodDash::solid, "solid"},
                                     {FoodDash::longDash, "long"},
                                     {FoodDash::dotted, "dotted"},
                                     {FoodDash::dashDot, "dash-dot"},
                                     {FoodDash::shortDash, "short"},
                                     {FoodDash::extraLong, "extra-long"}}};
constexpr std::array<std::string_view, 30> kinds{"curves_subjects",
                                                 "curves_mean",
                                                 "curves_increment",
                                                 "comparison_paired",
                                                 "comparison_estimates",
                                                 "agreement",
                                                 "model_differences",
                                                 "model_residuals",
                                                 "time_course",
                                                 "margins",
                                                 "margins_ratio",
                                                 "influence",
                                                 "normal_quantiles",
                                                 "sensitivity",
                                                 "index",
                                                 "index_ways",
                                                 "index_pairs",
                                                 "meals",
                                                 "portions",
                                                 "insulin_measures",
                                                 "sub_windows",
                                                 "within_subject",
                                                 "digestion_curves",
                                                 "digestion_fractions",
                                                 "fibre_bars",
                                                 "symptoms_diverging",
                                                 "symptoms_dose",
                                                 "bridge",
                                                 "planning_power",
                                                 "flow"};

}  // namespace

std::string_view wordFor(FigureSpread spread) {
    return wordIn(spreads, spread);
}

std::optional<FigureSpread> figureSpreadFrom(std::string_view word) {
    return valueIn(spreads, word);
}

std::string_view wordFor(FigureLanguage language) {
    return wordIn(languages, language);
}

std::optional<FigureLanguage> figureLanguageFrom(std::string_view word) {
    return valueIn(languages, word);
}

std::string_view wordFor(PanelLetters letters) {
    return wordIn(letterings, letters);
}

std::optional<PanelLetters> panelLettersFrom(std::string_view word) {
    return valueIn(letterings, word);
}

std::optional<MarkChoice> markFrom(std::string_view word) {
    constexpr std::string_view openPrefix = "open-";
    MarkChoice choice;
    if (word.substr(0, openPrefix.size()) == openPrefix) {
        choice.open = true;
        word.remove_prefix(openPrefix.size());
    }
    const auto shape = valueIn(marks, word);
    if (!shape) {
        return std::nullopt;
    }
    choice.shape = *shape;
    return choice;
}

std::string_view wordFor(FoodMark shape) {
    return wordIn(marks, shape);
}

std::optional<FoodDash> dashFrom(std::string_view word) {
    return valueIn(dashes, word);
}

std::string_view wordFor(FoodDash dash) {
    return wordIn(dashes, dash);
}

bool isColour(std::string_view text) {
    const auto isHex = [](char c) {
        return (c >= '0' && c <= '9') || (c >= 'a' && c <= 'f') || (c >= 'A' && c <= 'F');
    };
    return text.size() == 7 && text.front() == '#' && std::all_of(text.begin() + 1, text.end(), isHex);
}

bool isFigureKind(std::string_view key) {
    return std::find(kinds.begin(), kinds.end(), key) != kinds.end();
}

}  // namespace aftercurve
