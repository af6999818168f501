#pragma once

#include <QByteArray>
#include <QImage>

namespace aftercurve {

/// The image as TIFF: 8-bit RGB without alpha, compressed without loss (LZW, horizontal predictor), with its
/// resolution in dots per inch, so that a page takes it in its size. No date and no name of a program: the
/// same image gives the same bytes. Empty where it cannot be written. By libtiff, since Qt's own writer
/// rounds the resolution to dots a metre.
QByteArray tiffBytes(const QImage& image, int dpi);

}  // namespace aftercurve
