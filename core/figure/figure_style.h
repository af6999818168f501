#pragma once

#include <optional>
#include <string>
#include <vector>

namespace aftercurve {

/// What the bars of a mean curve stand for.
enum class FigureSpread { standardError, standardDeviation, confidenceInterval };

/// The language of titles, keys and notes that the program itself writes into a figure.
enum class FigureLanguage { english, german, swedish };

/// One axis. What is absent is chosen to suit the data.
struct AxisChoice {
    std::optional<double> low;   ///< in the unit that the axis shows
    std::optional<double> high;  ///< likewise; above `low` where both are given
    std::string title;           ///< empty: the figure's own

    bool operator==(const AxisChoice&) const = default;
};

/// Where the key stands inside its panel: its left top corner in shares of the panel, from its left top.
struct KeyPlace {
    double x = 0.0;
    double y = 0.0;

    bool operator==(const KeyPlace&) const = default;
};

/// What is particular to one panel.
struct PanelFrame {
    std::string title;  ///< over the panel; empty: none
    AxisChoice x;
    AxisChoice y;
    std::string unit;  ///< of concentrations; empty: the study's
    FigureSpread spread = FigureSpread::standardError;
    bool showKey = true;
    std::optional<KeyPlace> key;  ///< absent: above the panel, off the data

    bool operator==(const PanelFrame&) const = default;
};

/// How one food is drawn wherever it appears; what is empty follows from its place in the study.
struct FoodAppearance {
    std::string food;    ///< id
    std::string label;   ///< in figures
    std::string colour;  ///< "#0072b2"
    std::string mark;    ///< "circle", "square", "triangle", "diamond", "triangle-down"; "open-" before it
    std::string dash;    ///< "solid", "long", "dotted", "dash-dot", "short", "extra-long"

    bool operator==(const FoodAppearance&) const = default;
};

/// How a figure is drawn; one specification for window, files and headless program.
struct FigureStyle {
    double widthMm = 175.0;  ///< double column; 85 is a single one
    double heightMm = 105.0;
    double fontPt = 8.0;
    std::string fontFamily = "DejaVu Sans";
    double linePt = 1.0;
    bool grey = false;  ///< for print in grey: marks and dashes alone tell the foods apart
    FigureLanguage language = FigureLanguage::english;
    std::vector<FoodAppearance> foods = {};
    PanelFrame frame = {};

    bool operator==(const FigureStyle&) const = default;
};

}  // namespace aftercurve
