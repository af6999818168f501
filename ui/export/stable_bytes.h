#pragma once

#include <QByteArray>
#include <QString>

namespace aftercurve {

// What Qt's writers put into a file and cannot be told: mended in the bytes, so that the same figure gives
// the same file on any day and in any time zone, in exactly its size.

/// The head of an SVG with its exact physical size and its title, escaped for XML (Qt writes both roughly).
QByteArray withSvgHead(const QByteArray& svg, double widthMm, double heightMm, const QString& title);

/// A one-page PDF with a fixed creation date (2000-01-01; the time of writing says nothing about a figure)
/// and with its exact page size: Qt rounds it to whole points. The page keeps its top left corner.
/// Cross-reference offsets follow. A file in which these places are not found comes back unchanged.
QByteArray withFixedDateAndSize(const QByteArray& pdf, double widthMm, double heightMm);

/// A PDF of any number of pages whose creation date is `date` ("D:20000101000000Z").
QByteArray withFixedDate(const QByteArray& pdf, const QByteArray& date);

}  // namespace aftercurve
