#pragma once

#include <QByteArray>
#include <QImage>
#include <string_view>
#include <vector>

#include "core/base/result.h"
#include "core/figure/figure_spec.h"
#include "ui/figures/figure.h"

namespace aftercurve {

enum class FigureFormat { svg, pdf, png, tiff };

struct FigureExportOptions {
    FigureFormat format = FigureFormat::svg;
    int dpi = 300;  ///< of PNG and TIFF: 72 to 1200; written into the file with the physical size
};

/// Empty where the style and options can be used; else what is wrong ("width 5 mm: 20 to 400 mm").
std::vector<Problem> validate(const FigureStyle& style, const FigureExportOptions& options);

/// ".svg", ".pdf", ".png", ".tiff".
std::string_view endingOf(FigureFormat format);
/// Whether it is made of pixels, so that `dpi` counts.
bool hasPixels(FigureFormat format);

/// The bytes of the figure file at its physical size (SVG width/height in mm, PDF page of that size with
/// embedded fonts, PNG and TIFF with their dpi). Same arguments, same bytes: no date, no random id. Needs a
/// QApplication (offscreen will do).
Result<QByteArray> renderFigure(const FigureKind& kind, const Study& study, const Findings& findings,
                                const FigureChoice& choice, const FigureStyle& style,
                                const FigureExportOptions& options);

/// The bytes of a figure of one or more panels, likewise. Fails with the first problem of `validate`.
Result<QByteArray> renderFigure(const FigureSpec& spec, const Study& study, const Findings& findings,
                                const FigureExportOptions& options);

/// The figure as an image for the clipboard.
QImage renderImage(const FigureKind& kind, const Study& study, const Findings& findings,
                   const FigureChoice& choice, const FigureStyle& style, int dpi);
/// The same of one or more panels; the spec must be valid (core/figure/figure_check.h). A null image where
/// the memory at hand does not hold it.
QImage renderImage(const FigureSpec& spec, const Study& study, const Findings& findings, double dpi);

}  // namespace aftercurve
