#include "ui/models/look.h"

namespace aftercurve {

namespace {

QColor between(const QColor& a, const QColor& b, double share) {
    const auto part = [share](float x, float y) {
        return static_cast<float>(static_cast<double>(x) * (1.0 - share) + static_cast<double>(y) * share);
    };
    return QColor::fromRgbF(part(a.redF(), b.redF()), part(a.greenF(), b.greenF()),
                            part(a.blueF(), b.blueF()));
}

}  // namespace

WindowLook windowLook(const QPalette& palette) {
    const QColor base = palette.color(QPalette::Active, QPalette::Base);
    const QColor text = palette.color(QPalette::Active, QPalette::Text);
    const bool dark = base.lightnessF() < 0.5F;
    WindowLook look;
    look.accent = dark ? QColor(0xb9, 0xa2, 0xe0) : QColor(0x5b, 0x3f, 0x86);
    look.onAccent = dark ? QColor(0x1c, 0x14, 0x2a) : QColor(Qt::white);
    look.mark = dark ? QColor(0x5a, 0x41, 0x10) : QColor(0xfd, 0xea, 0xc4);
    look.markEdge = dark ? QColor(0xf0, 0xb0, 0x40) : QColor(0xc9, 0x7a, 0x08);
    look.muted = between(text, base, 0.42);
    look.line = between(text, base, 0.82);
    look.selection = between(base, look.accent, dark ? 0.35 : 0.2);
    look.error = dark ? QColor(0xff, 0x8f, 0x86) : QColor(0xb3, 0x26, 0x1e);
    look.warning = dark ? QColor(0xf0, 0xb0, 0x40) : QColor(0x9a, 0x5b, 0x00);
    look.errorWash = between(base, look.error, 0.12);
    return look;
}

QPalette withAccent(QPalette palette) {
    const WindowLook look = windowLook(palette);
    for (const auto group : {QPalette::Active, QPalette::Inactive}) {
        palette.setColor(group, QPalette::Highlight, look.accent);
        palette.setColor(group, QPalette::HighlightedText, look.onAccent);
        palette.setColor(group, QPalette::Link, look.accent);
    }
    return palette;
}

}  // namespace aftercurve
