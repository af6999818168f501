#include "ui/window/figures/composition.h"

#include <algorithm>
#include <cctype>

#include "core/figure/figure_check.h"
#include "ui/figures/default_figures.h"

namespace aftercurve {

namespace {

/// Upper and lower case count as one, as some disks hold them so.
bool sameId(std::string_view a, std::string_view b) {
    const auto lower = [](char c) { return std::tolower(static_cast<unsigned char>(c)); };
    return std::equal(a.begin(), a.end(), b.begin(), b.end(),
                      [&](char x, char y) { return lower(x) == lower(y); });
}

}  // namespace

std::vector<const FigureKind*> composableKinds() {
    std::vector<const FigureKind*> kinds;
    for (const FigureKind& kind : figureList()) {
        if (!kind.key.starts_with("planning")) {
            kinds.push_back(&kind);
        }
    }
    return kinds;
}

std::string freeFigureId(std::span<const FigureSpec> figures, std::string_view wish) {
    const auto taken = [&](std::string_view id) {
        return std::any_of(figures.begin(), figures.end(),
                           [&](const FigureSpec& figure) { return sameId(figure.id, id); });
    };
    constexpr std::size_t roomForNumber = 5;
    const std::string stem{wish.substr(0, longestFigureId - roomForNumber)};
    std::string id = stem;
    for (int k = 2; taken(id); ++k) {
        id = stem + "-" + std::to_string(k);
    }
    return id;
}

FigureSpec newFigure(std::span<const FigureSpec> figures, std::string_view kind, const Study& study) {
    FigureSpec figure;
    figure.id = freeFigureId(figures, kind);
    figure.panels.emplace_back().kind = std::string{kind};
    figure.style.heightMm = heightFor(kind, study);
    return figure;
}

void append(std::vector<FigureSpec>& figures, std::vector<FigureSpec> more) {
    for (FigureSpec& figure : more) {
        figure.id = freeFigureId(figures, figure.id);
        figures.push_back(std::move(figure));
    }
}

void duplicate(std::vector<FigureSpec>& figures, std::size_t at) {
    FigureSpec copy = figures.at(at);
    copy.id = freeFigureId(figures, copy.id);
    figures.insert(figures.begin() + static_cast<std::ptrdiff_t>(at) + 1, std::move(copy));
}

}  // namespace aftercurve
