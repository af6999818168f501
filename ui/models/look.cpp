#include "ui/models/look.h"

#include <algorithm>
#include <cmath>
#include <initializer_list>

namespace aftercurve {

namespace {

QColor between(const QColor& a, const QColor& b, double share) {
    const auto part = [share](float x, float y) {
        return static_cast<float>(static_cast<double>(x) * (1.0 - share) + static_cast<double>(y) * share);
    };
    return QColor::fromRgbF(part(a.redF(), b.redF()), part(a.greenF(), b.greenF()),
                            part(a.blueF(), b.blueF()));
}

double luminance(const QColor& colour) {
    const auto part = [](float value) {
        const auto v = static_cast<double>(value);
        return v <= 0.04045 ? v / 12.92 : std::pow((v + 0.055) / 1.055, 2.4);
    };
    return 0.2126 * part(colour.redF()) + 0.7152 * part(colour.greenF()) + 0.0722 * part(colour.blueF());
}

/// The text moved towards the ground as far as it can still be read on each of the grounds.
QColor mutedText(const QColor& text, const QColor& base, const std::initializer_list<QColor>& grounds) {
    constexpr double palest = 0.42;
    constexpr double step = 0.02;
    for (double share = palest; share > step; share -= step) {
        const QColor muted = between(text, base, share);
        if (std::all_of(grounds.begin(), grounds.end(), [&muted](const QColor& ground) {
                return contrastOf(muted, ground) >= leastTextContrast;
            })) {
            return muted;
        }
    }
    return text;
}

}  // namespace

double contrastOf(const QColor& a, const QColor& b) {
    const auto [dark, light] = std::minmax({luminance(a), luminance(b)});
    return (light + 0.05) / (dark + 0.05);
}

WindowLook windowLook(const QPalette& palette) {
    const QColor base = palette.color(QPalette::Active, QPalette::Base);
    const QColor text = palette.color(QPalette::Active, QPalette::Text);
    const bool dark = base.lightnessF() < 0.5F;
    WindowLook look;
    look.accent = dark ? QColor(0xb9, 0xa2, 0xe0) : QColor(0x5b, 0x3f, 0x86);
    look.onAccent = dark ? QColor(0x1c, 0x14, 0x2a) : QColor(Qt::white);
    look.mark = dark ? QColor(0x5a, 0x41, 0x10) : QColor(0xfd, 0xea, 0xc4);
    look.markEdge = dark ? QColor(0xf0, 0xb0, 0x40) : QColor(0xb8, 0x6c, 0x00);
    look.line = between(text, base, 0.82);
    look.selection = between(base, look.accent, dark ? 0.25 : 0.2);
    look.error = dark ? QColor(0xff, 0x8f, 0x86) : QColor(0xb3, 0x26, 0x1e);
    look.warning = dark ? QColor(0xf0, 0xb0, 0x40) : QColor(0x9a, 0x5b, 0x00);
    look.errorWash = between(base, look.error, 0.1);
    look.muted = mutedText(text, base,
                           {base, palette.color(QPalette::Active, QPalette::Window),
                            palette.color(QPalette::Active, QPalette::AlternateBase), look.selection,
                            look.mark, look.errorWash});
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
