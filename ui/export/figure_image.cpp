#include "ui/export/figure_image.h"

#include <algorithm>
#include <cmath>

#include "ui/figures/composed_figure.h"
#include "ui/figures/plot_library.h"

namespace aftercurve {

namespace {

constexpr double mmPerInch = 25.4;
/// The raster that files of figures are laid out on: a tenth of a point.
constexpr double unitsPerPoint = 10.0;

}  // namespace

QImage figureImage(const FigureSpec& figure, const Study& study, const Findings& findings, double dpi) {
    const auto pixels = [dpi](double mm) {
        return std::max(1, static_cast<int>(std::lround(mm / mmPerInch * dpi)));
    };
    QImage image(pixels(figure.style.widthMm), pixels(figure.style.heightMm), QImage::Format_RGB32);
    if (image.isNull()) {
        return image;
    }
    image.fill(Qt::white);
    QCPPainter painter(&image);
    painter.setRenderHint(QPainter::Antialiasing);
    painter.setMode(QCPPainter::pmVectorized);
    painter.setMode(QCPPainter::pmNoCaching);
    painter.setMode(QCPPainter::pmNonCosmetic);
    painter.scale(dpi / 72.0 / unitsPerPoint, dpi / 72.0 / unitsPerPoint);
    paintFigure(painter, figure, study, findings, unitsPerPoint);
    painter.end();
    const int dotsPerMetre = static_cast<int>(std::lround(dpi / mmPerInch * 1000.0));
    image.setDotsPerMeterX(dotsPerMetre);
    image.setDotsPerMeterY(dotsPerMetre);
    return image;
}

}  // namespace aftercurve
