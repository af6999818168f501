#include "ui/export/tiff_bytes.h"

#include <tiffio.h>

#include <algorithm>
#include <cstdio>
#include <cstring>
#include <memory>
#include <vector>

namespace aftercurve {

namespace {

/// A file in memory, as libtiff writes and reads it.
struct MemoryFile {
    QByteArray bytes;
    qsizetype at = 0;
};

MemoryFile& fileOf(thandle_t handle) {
    return *static_cast<MemoryFile*>(handle);
}

tmsize_t readFrom(thandle_t handle, void* buffer, tmsize_t size) {
    MemoryFile& file = fileOf(handle);
    const qsizetype count = std::clamp<qsizetype>(file.bytes.size() - file.at, 0, size);
    std::memcpy(buffer, file.bytes.constData() + file.at, static_cast<std::size_t>(count));
    file.at += count;
    return count;
}

tmsize_t writeTo(thandle_t handle, void* buffer, tmsize_t size) {
    MemoryFile& file = fileOf(handle);
    if (file.at + size > file.bytes.size()) {
        file.bytes.resize(file.at + size, '\0');
    }
    std::memcpy(file.bytes.data() + file.at, buffer, static_cast<std::size_t>(size));
    file.at += size;
    return size;
}

toff_t seekIn(thandle_t handle, toff_t offset, int whence) {
    MemoryFile& file = fileOf(handle);
    const auto step = static_cast<qsizetype>(offset);
    file.at = whence == SEEK_SET ? step : whence == SEEK_CUR ? file.at + step : file.bytes.size() + step;
    return static_cast<toff_t>(file.at);
}

int closeIt(thandle_t /*handle*/) {
    return 0;
}

toff_t sizeOf(thandle_t handle) {
    return static_cast<toff_t>(fileOf(handle).bytes.size());
}

struct Closer {
    void operator()(TIFF* tiff) const { TIFFClose(tiff); }
};

bool writeRows(TIFF* tiff, const QImage& image) {
    std::vector<unsigned char> row(static_cast<std::size_t>(image.width()) * 3U);
    for (int y = 0; y < image.height(); ++y) {
        const auto* pixels = reinterpret_cast<const QRgb*>(image.constScanLine(y));
        for (int x = 0; x < image.width(); ++x) {
            const std::size_t at = static_cast<std::size_t>(x) * 3U;
            row[at] = static_cast<unsigned char>(qRed(pixels[x]));
            row[at + 1] = static_cast<unsigned char>(qGreen(pixels[x]));
            row[at + 2] = static_cast<unsigned char>(qBlue(pixels[x]));
        }
        if (TIFFWriteScanline(tiff, row.data(), static_cast<std::uint32_t>(y), 0) < 0) {
            return false;
        }
    }
    return true;
}

}  // namespace

QByteArray tiffBytes(const QImage& image, int dpi) {
    if (image.isNull() || dpi <= 0) {
        return {};
    }
    const QImage rgb = image.convertToFormat(QImage::Format_RGB32);
    MemoryFile file;
    std::unique_ptr<TIFF, Closer> tiff(
        TIFFClientOpen("figure", "wl", &file, readFrom, writeTo, seekIn, closeIt, sizeOf, nullptr, nullptr));
    if (tiff == nullptr || rgb.isNull()) {
        return {};
    }
    TIFF* out = tiff.get();
    TIFFSetField(out, TIFFTAG_IMAGEWIDTH, static_cast<std::uint32_t>(rgb.width()));
    TIFFSetField(out, TIFFTAG_IMAGELENGTH, static_cast<std::uint32_t>(rgb.height()));
    TIFFSetField(out, TIFFTAG_BITSPERSAMPLE, 8);
    TIFFSetField(out, TIFFTAG_SAMPLESPERPIXEL, 3);
    TIFFSetField(out, TIFFTAG_PHOTOMETRIC, PHOTOMETRIC_RGB);
    TIFFSetField(out, TIFFTAG_ORIENTATION, ORIENTATION_TOPLEFT);
    TIFFSetField(out, TIFFTAG_PLANARCONFIG, PLANARCONFIG_CONTIG);
    TIFFSetField(out, TIFFTAG_COMPRESSION, COMPRESSION_LZW);
    TIFFSetField(out, TIFFTAG_PREDICTOR, PREDICTOR_HORIZONTAL);
    TIFFSetField(out, TIFFTAG_RESOLUTIONUNIT, RESUNIT_INCH);
    TIFFSetField(out, TIFFTAG_XRESOLUTION, static_cast<double>(dpi));
    TIFFSetField(out, TIFFTAG_YRESOLUTION, static_cast<double>(dpi));
    TIFFSetField(out, TIFFTAG_ROWSPERSTRIP, TIFFDefaultStripSize(out, 0));
    const bool written = writeRows(out, rgb);
    tiff.reset();
    return written ? file.bytes : QByteArray{};
}

}  // namespace aftercurve
