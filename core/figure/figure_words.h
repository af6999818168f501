#pragma once

#include <optional>
#include <string_view>

#include "core/figure/figure_spec.h"

namespace aftercurve {

// The words by which files name what a figure is drawn with.

/// "sem", "sd", "ci".
std::string_view wordFor(FigureSpread spread);
std::optional<FigureSpread> figureSpreadFrom(std::string_view word);

/// "en", "de", "sv" (ISO 639-1).
std::string_view wordFor(FigureLanguage language);
std::optional<FigureLanguage> figureLanguageFrom(std::string_view word);

/// "none", "capital", "small".
std::string_view wordFor(PanelLetters letters);
std::optional<PanelLetters> panelLettersFrom(std::string_view word);

/// Shapes of a food's mark; filled, or open.
enum class FoodMark { circle, square, triangle, diamond, triangleDown };
struct MarkChoice {
    FoodMark shape = FoodMark::circle;
    bool open = false;

    bool operator==(const MarkChoice&) const = default;
};
/// "circle", "open-triangle-down"; nothing for another word.
std::optional<MarkChoice> markFrom(std::string_view word);
std::string_view wordFor(FoodMark shape);

/// Dashes of a food's curve.
enum class FoodDash { solid, longDash, dotted, dashDot, shortDash, extraLong };
/// "solid", "long", "dotted", "dash-dot", "short", "extra-long".
std::optional<FoodDash> dashFrom(std::string_view word);
std::string_view wordFor(FoodDash dash);

/// "#0072b2": a hash and six hexadecimal digits.
bool isColour(std::string_view text);

/// Whether there is a kind of figure of this key. The list stands in the core so that reading a study can
/// warn; a test holds it equal to the list of figures.
bool isFigureKind(std::string_view key);

}  // namespace aftercurve
