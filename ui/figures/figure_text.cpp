#include "ui/figures/figure_text.h"

#include <QCoreApplication>
#include <algorithm>
#include <array>
#include <cmath>

#include "core/base/number_text.h"
#include "core/curve/measures.h"
#include "core/findings/narrative.h"
#include "ui/figures/figure_language.h"
#include "ui/figures/figure_scope.h"

namespace aftercurve {

namespace {

constexpr qsizetype longestLabel = 60;

QString fromView(std::string_view text) {
    return QString::fromUtf8(text.data(), static_cast<qsizetype>(text.size()));
}

}  // namespace

QString FigureText::tr(const char* text) {
    constexpr const char* context = "Figures";
    const FigureStyle* style = FigureScope::current();
    if (style != nullptr && style->language != FigureLanguage::english) {
        const QString translated = figureTranslator(style->language).translate(context, text);
        return translated.isEmpty() ? QString::fromUtf8(text) : translated;
    }
    return QCoreApplication::translate(context, text);
}

QString plainLabel(std::string_view text) {
    QString label = fromView(text);
    for (QChar& c : label) {
        // U+FFFE and U+FFFF are no XML characters either.
        if (c.category() == QChar::Other_Control || c.unicode() >= 0xFFFE) {
            c = u' ';
        }
    }
    label = label.simplified();
    if (label.size() > longestLabel) {
        label = label.left(longestLabel - 1).trimmed() + u'…';
    }
    return label;
}

QString foodLabel(const Study& study, std::string_view foodId) {
    if (const FoodAppearance* food = appearanceOf(foodId); food != nullptr && !food->label.empty()) {
        return plainLabel(food->label);
    }
    return plainLabel(labelOf(study, foodId));
}

QString analyteName(std::string_view analyteId) {
    QString name = plainLabel(analyteId);
    if (!name.isEmpty()) {
        name[0] = name[0].toUpper();
    }
    return FigureText::tr(name.toUtf8().constData());
}

QString analyteUnit(const Study& study, std::string_view analyteId) {
    const auto index = findAnalyte(study, analyteId);
    return index ? plainLabel(study.analytes[*index].unit) : QString{};
}

QString measureName(std::string_view measureKey) {
    return FigureText::tr(plainLabel(measureLabel(measureKey)).toUtf8().constData());
}

QString measureInText(std::string_view measureKey) {
    QString name = measureName(measureKey);
    if (name.size() > 1 && name[1].isLower()) {
        name[0] = name[0].toLower();
    }
    return name;
}

QString measureUnit(const Study& study, std::string_view analyteId, std::string_view measureKey) {
    const auto index = measureIndex(measureKey);
    const auto analyte = findAnalyte(study, analyteId);
    if (!index || !analyte) {
        return {};
    }
    return plainLabel(unitOf(measureList()[*index], study.analytes[*analyte].unit))
        .replace(u' ', QChar(0x00A0));
}

QString withUnit(const QString& quantity, const QString& unit) {
    return unit.isEmpty() ? quantity : FigureText::tr("%1 (%2)").arg(quantity, unit);
}

int decimalsFor(std::span<const double> values) {
    double largest = 0.0;
    for (const double value : values) {
        largest = std::max(largest, std::abs(value));
    }
    if (largest >= 1000.0) {
        return 0;
    }
    if (largest >= 10.0) {
        return 1;
    }
    return largest >= 1.0 || largest == 0.0 ? 2 : 3;
}

QString numberText(double value, int decimals) {
    // The core's rounding, so that a figure and a table show the same digits.
    QString text = QString::fromStdString(fixedNumber(value, decimals));
    if (text.startsWith(u'-')) {
        text[0] = QChar(0x2212);
    }
    return localised(text);
}

QString pLabel(double p) {
    return localised(QString::fromStdString(pText(p)));
}

QString confidenceText(double alpha) {
    return FigureText::tr("%1 %").arg(localised(QString::fromStdString(confidencePercent(alpha))));
}

QString estimateText(const PairedT& t, const QString& unit, double alpha) {
    if (!t.meanDifference) {
        return FigureText::tr("not estimable");
    }
    const double mean = *t.meanDifference;
    const double low = t.ciLow.value_or(mean);
    const double high = t.ciHigh.value_or(mean);
    const int decimals = decimalsFor(std::array{mean, low, high});
    QString text = numberText(mean, decimals);
    if (!unit.isEmpty()) {
        text += QChar(0x00A0) + unit;
    }
    if (t.ciLow && t.ciHigh) {
        text = FigureText::tr("%1 (%2 CI %3 to %4)")
                   .arg(text, confidenceText(alpha), numberText(low, decimals), numberText(high, decimals));
    }
    return text;
}

ChosenKeys chosenKeys(const Study& study, const Findings& findings, std::string_view analyte,
                      std::string_view measure) {
    ChosenKeys keys{std::string{analyte}, std::string{measure}};
    if (keys.analyte.empty() && !study.analytes.empty()) {
        keys.analyte = study.analytes.front().id;
    }
    if (keys.measure.empty()) {
        keys.measure = findings.plan.measure;
    }
    return keys;
}

}  // namespace aftercurve
