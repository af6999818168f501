#include "ui/export/stable_bytes.h"

#include <QRegularExpression>
#include <QRegularExpressionMatch>

namespace aftercurve {

namespace {

/// Replaces bytes between `begin` and `end` and moves the offsets of the objects behind them.
bool replaceInPdf(QByteArray& pdf, qsizetype begin, qsizetype end, const QByteArray& text) {
    const qsizetype table = pdf.lastIndexOf("\nxref\n0 ");
    const qsizetype start = pdf.lastIndexOf("startxref\n");
    if (begin < 0 || end < begin || table < end || start < table) {
        return false;
    }
    // Before the table: the offsets are ten digits, so nothing in the table itself moves.
    const qsizetype shift = text.size() - (end - begin);
    const qsizetype countEnd = pdf.indexOf('\n', table + 8);
    const int count = pdf.mid(table + 8, countEnd - table - 8).toInt();
    constexpr qsizetype entry = 20;
    for (int i = 0; i < count; ++i) {
        const qsizetype at = countEnd + 1 + entry * i;
        const qsizetype offset = pdf.mid(at, 10).toLongLong();
        if (offset >= end) {
            pdf.replace(at, 10, QByteArray::number(offset + shift).rightJustified(10, '0'));
        }
    }
    const qsizetype offsetAt = start + qsizetype{10};
    const qsizetype offsetEnd = pdf.indexOf('\n', offsetAt);
    const qsizetype offset = pdf.mid(offsetAt, offsetEnd - offsetAt).toLongLong();
    pdf.replace(offsetAt, offsetEnd - offsetAt, QByteArray::number(offset + shift));
    pdf.replace(begin, end - begin, text);
    return true;
}

QByteArray points(double value) {
    return QByteArray::number(value, 'f', 4);
}

QByteArray millimetres(double value) {
    return QByteArray::number(value, 'g', 8) + "mm";
}

}  // namespace

QByteArray withSvgHead(const QByteArray& svg, double widthMm, double heightMm, const QString& title) {
    QByteArray head = svg.left(svg.indexOf("<defs>"));
    const QByteArray body = svg.mid(head.size());
    const qsizetype width = head.indexOf("width=\"");
    const qsizetype height = head.indexOf("\"\n", width);
    if (width < 0 || height < 0) {
        return svg;
    }
    head.replace(width, height - width,
                 "width=\"" + millimetres(widthMm) + "\" height=\"" + millimetres(heightMm));
    const qsizetype titleBegin = head.indexOf("<title>");
    const qsizetype titleEnd = head.lastIndexOf("</title>");
    const QByteArray escaped = "<title>" + title.toHtmlEscaped().toUtf8();
    if (titleBegin >= 0 && titleEnd > titleBegin) {
        head.replace(titleBegin, titleEnd - titleBegin, escaped);
    } else {
        head += escaped + "</title>\n";
    }
    return head + body;
}

QByteArray withFixedDate(const QByteArray& pdf, const QByteArray& date) {
    QByteArray mended = pdf;
    const QByteArray dateKey = "/CreationDate (";
    const qsizetype found = mended.indexOf(dateKey);
    if (found >= 0) {
        const qsizetype begin = found + dateKey.size();
        replaceInPdf(mended, begin, mended.indexOf(')', begin), date);
    }
    return mended;
}

QByteArray withFixedDateAndSize(const QByteArray& pdf, double widthMm, double heightMm) {
    QByteArray mended = withFixedDate(pdf, "D:20000101000000Z");
    const QByteArray boxKey = "/MediaBox [0 0 ";
    const qsizetype box = mended.indexOf(boxKey);
    if (box >= 0) {
        const qsizetype begin = box + boxKey.size();
        const qsizetype end = mended.indexOf(']', begin);
        const QByteArrayList size = mended.mid(begin, end - begin).split(' ');
        const double top = size.size() == 2 ? size.at(1).toDouble() : 0.0;
        const double bottom = top - heightMm / 25.4 * 72.0;
        replaceInPdf(mended, begin - 4, end,
                     "0 " + points(bottom) + ' ' + points(widthMm / 25.4 * 72.0) + ' ' + points(top));
    }
    return mended;
}

}  // namespace aftercurve
