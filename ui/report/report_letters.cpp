#include "ui/report/report_letters.h"

#include <QTextLayout>
#include <QTextOption>
#include <algorithm>
#include <cmath>

namespace aftercurve {

namespace {

struct LetterChoice {
    double points = 9.0;
    bool bold = false;
    bool fixed = false;
    QRgb colour = 0xff1d2a2e;
};

LetterChoice choiceFor(TextLook look) {
    constexpr QRgb black = 0xff1d2a2e;
    constexpr QRgb quiet = 0xff44555a;
    switch (look) {
        case TextLook::body:
            return {8.8, false, false, black};
        case TextLook::source:
            return {7.0, false, false, quiet};
        case TextLook::title:
            return {16.0, true, false, black};
        case TextLook::heading:
            return {12.0, true, false, black};
        case TextLook::name:
            return {8.0, true, false, black};
        case TextLook::note:
            return {7.0, false, false, quiet};
        case TextLook::tableHead:
            return {7.2, true, false, black};
        case TextLook::tableCell:
            return {7.2, false, false, black};
        case TextLook::tableMuted:
            return {7.2, false, false, 0xff55636a};
        case TextLook::smallHead:
            return {6.2, true, false, black};
        case TextLook::smallCell:
            return {6.2, false, false, black};
        case TextLook::smallMuted:
            return {6.2, false, false, 0xff55636a};
        case TextLook::mark:
            return {5.0, false, false, black};
        case TextLook::code:
            return {7.0, false, true, black};
        case TextLook::error:
            return {8.8, true, false, 0xff9b1c1c};
        case TextLook::warning:
            return {8.8, true, false, 0xff7a4a00};
        case TextLook::footer:
            return {7.0, false, false, quiet};
    }
    return {};
}

}  // namespace

QFont fontFor(TextLook look) {
    const LetterChoice choice = choiceFor(look);
    QFont font(choice.fixed ? QStringLiteral("DejaVu Sans Mono") : QStringLiteral("DejaVu Sans"));
    font.setPixelSize(static_cast<int>(std::lround(choice.points * unitsPerPoint)));
    font.setBold(choice.bold);
    font.setHintingPreference(QFont::PreferNoHinting);
    return font;
}

QColor colourFor(TextLook look) {
    return QColor::fromRgb(choiceFor(look).colour);
}

const Letters::Look& Letters::of(TextLook look) {
    const auto found = looks_.find(look);
    if (found != looks_.end()) {
        return found->second;
    }
    const QFont font = fontFor(look);
    return looks_.emplace(look, Look{font, QFontMetricsF(font)}).first->second;
}

double Letters::lineHeight(TextLook look) {
    const bool inTable = look == TextLook::tableCell || look == TextLook::tableHead ||
                         look == TextLook::tableMuted || look == TextLook::smallCell ||
                         look == TextLook::smallHead || look == TextLook::smallMuted;
    return of(look).metrics.height() * (inTable ? 1.05 : 1.2);
}

double Letters::longestWord(const QString& text, TextLook look) {
    double longest = 0.0;
    for (const QString& word : text.split(u' ', Qt::SkipEmptyParts)) {
        longest = std::max(longest, width(word, look));
    }
    return longest;
}

QStringList Letters::wrapped(const QString& text, TextLook look, double width) {
    if (text.isEmpty()) {
        return {};
    }
    if (this->width(text, look) <= width) {
        return {text};
    }
    QTextLayout layout(text, font(look));
    QTextOption option;
    option.setWrapMode(QTextOption::WrapAtWordBoundaryOrAnywhere);
    layout.setTextOption(option);
    QStringList lines;
    layout.beginLayout();
    for (QTextLine line = layout.createLine(); line.isValid(); line = layout.createLine()) {
        line.setLineWidth(width);
        lines << text.mid(line.textStart(), line.textLength()).trimmed();
    }
    layout.endLayout();
    return lines;
}

QString Letters::elided(const QString& text, TextLook look, double width) {
    return of(look).metrics.elidedText(text, Qt::ElideRight, width);
}

}  // namespace aftercurve
