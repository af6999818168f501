#include "ui/figures/figure_look.h"

#include <algorithm>
#include <array>
#include <cmath>

#include "core/figure/figure_words.h"
#include "ui/figures/figure_scope.h"

namespace aftercurve {

namespace {

// Okabe & Ito 2008, without yellow (too pale a line on white) and black (kept for the reference).
constexpr std::array<QRgb, 6> okabeIto{0xFF0072B2, 0xFFD55E00, 0xFF009E73,
                                       0xFFCC79A7, 0xFFE69F00, 0xFF56B4E9};
constexpr std::array<QRgb, 3> neutrals{0xFF2B2B2B, 0xFF6E6E6E, 0xFF9A9A9A};
constexpr std::array marks{QCPScatterStyle::ssSquare, QCPScatterStyle::ssTriangle, QCPScatterStyle::ssDiamond,
                           QCPScatterStyle::ssTriangleInverted, QCPScatterStyle::ssCircle};

/// Dashes in units of the pen's width; the first is the undashed line of the reference.
QVector<double> dashOf(std::size_t index) {
    switch (index % 6) {
        case 1:
            return {7.0, 2.5};
        case 2:
            return {1.5, 2.0};
        case 3:
            return {7.0, 2.0, 1.5, 2.0};
        case 4:
            return {3.5, 2.5};
        case 5:
            return {12.0, 2.5};
        default:
            return {};
    }
}

struct FoodPlace {
    bool neutral = false;
    std::size_t rank = 0;  ///< among the foods of the same sort
};

FoodPlace placeOf(const Study& study, std::string_view foodId) {
    FoodPlace place;
    for (const Food& food : study.foods) {
        const bool neutral = food.role != FoodRole::test;
        if (food.id == foodId) {
            place.neutral = neutral;
            place.rank = 0;
            for (const Food& earlier : study.foods) {
                if (&earlier == &food) {
                    break;
                }
                place.rank += (earlier.role != FoodRole::test) == neutral ? 1 : 0;
            }
            return place;
        }
        place.rank += neutral ? 0 : 1;
    }
    return place;  // a food that the study does not know comes after the known ones
}

QCPScatterStyle::ScatterShape shapeOf(FoodMark mark) {
    switch (mark) {
        case FoodMark::circle:
            return QCPScatterStyle::ssCircle;
        case FoodMark::square:
            return QCPScatterStyle::ssSquare;
        case FoodMark::triangle:
            return QCPScatterStyle::ssTriangle;
        case FoodMark::diamond:
            return QCPScatterStyle::ssDiamond;
        case FoodMark::triangleDown:
            break;
    }
    return QCPScatterStyle::ssTriangleInverted;
}

/// Triangles and diamonds look smaller than squares and discs of the same width.
double sizeOf(QCPScatterStyle::ScatterShape shape, const FigureLook& look) {
    const bool pointed = shape == QCPScatterStyle::ssTriangle ||
                         shape == QCPScatterStyle::ssTriangleInverted || shape == QCPScatterStyle::ssDiamond;
    return look.mark * (pointed ? 1.25 : 1.0);
}

QColor paleOf(const QColor& colour) {
    const auto towardsWhite = [](int channel) { return channel + (255 - channel) * 74 / 100; };
    return {towardsWhite(colour.red()), towardsWhite(colour.green()), towardsWhite(colour.blue())};
}

}  // namespace

double pixelsPerPoint(const QCustomPlot& plot) {
    const QVariant told = plot.property(pixelsPerPointProperty);
    const double scale = told.isValid() ? told.toDouble() : plot.logicalDpiX() / 72.0;
    return scale > 0.0 ? scale : 1.0;
}

FigureLook lookFor(const QCustomPlot& plot, const FigureStyle& style) {
    FigureLook look;
    look.px = pixelsPerPoint(plot);
    const auto sized = [&](double pt) {
        QFont font(QString::fromStdString(style.fontFamily));
        font.setPixelSize(std::max(1, static_cast<int>(std::lround(pt * look.px))));
        font.setHintingPreference(QFont::PreferNoHinting);
        font.setStyleStrategy(QFont::NoSubpixelAntialias);  // no coloured fringes in print
        return font;
    };
    look.font = sized(style.fontPt);
    look.smallFont = sized(style.fontPt * 0.875);
    look.line = style.linePt * look.px;
    look.thin = 0.6 * look.line;
    look.mark = 0.55 * style.fontPt * look.px;
    look.grey = style.grey;
    return look;
}

QPen solidPen(const QColor& colour, double width) {
    QPen pen(colour, width);
    pen.setCapStyle(Qt::FlatCap);
    pen.setJoinStyle(Qt::RoundJoin);
    return pen;
}

FoodLook foodLook(const Study& study, std::string_view foodId, const FigureLook& look) {
    const FoodPlace place = placeOf(study, foodId);
    FoodLook food;
    if (look.grey) {
        food.colour = look.ink;
        food.fill = QColor(0xD6, 0xD6, 0xD6);
    } else {
        food.colour = QColor(place.neutral ? neutrals[std::min(place.rank, neutrals.size() - 1)]
                                           : okabeIto[place.rank % okabeIto.size()]);
        food.fill = paleOf(food.colour);
    }
    const FoodAppearance* asked = appearanceOf(foodId);
    if (asked != nullptr && isColour(asked->colour) && !look.grey) {
        food.colour = QColor(QString::fromStdString(asked->colour));
        food.fill = paleOf(food.colour);
    }
    food.pen = solidPen(food.colour, look.line);
    const auto askedDash = asked != nullptr ? dashFrom(asked->dash) : std::nullopt;
    const QVector<double> dash = dashOf(askedDash       ? static_cast<std::size_t>(*askedDash)
                                        : place.neutral ? 4 * place.rank
                                                        : place.rank % 5 + 1);
    if (!dash.isEmpty()) {
        food.pen.setDashPattern(dash);
    }

    // Filled marks first, then the same ones open; in grey every other food is open from the start.
    const auto askedMark = asked != nullptr ? markFrom(asked->mark) : std::nullopt;
    const QCPScatterStyle::ScatterShape shape =
        askedMark ? shapeOf(askedMark->shape) : marks[place.neutral ? 4 : place.rank % marks.size()];
    const bool open = askedMark ? askedMark->open
                      : place.neutral
                          ? place.rank % 2 == 1
                          : (look.grey ? place.rank % 2 == 0 : place.rank / marks.size() % 2 == 1);
    food.mark = QCPScatterStyle(shape, solidPen(food.colour, look.thin),
                                QBrush(open ? QColor(Qt::white) : food.colour), sizeOf(shape, look));
    return food;
}

QCPScatterStyle scaledMark(const QCPScatterStyle& mark, double factor) {
    QCPScatterStyle scaled = mark;
    scaled.setSize(mark.size() * factor);
    return scaled;
}

}  // namespace aftercurve
