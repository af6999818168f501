#include "ui/figures/figure_scope.h"

#include "core/curve/measures.h"
#include "core/study/units.h"
#include "ui/figures/figure_text.h"

namespace aftercurve {

namespace {

// Figures are drawn by the window and by a worker at once.
thread_local const FigureStyle* inForce = nullptr;

struct CoreUnit {
    std::string unit;
    double factor = 1.0;
};

CoreUnit coreUnit(const Study& study, std::string_view analyteId) {
    const auto index = findAnalyte(study, analyteId);
    if (!index) {
        return {};
    }
    const Analyte& analyte = study.analytes[*index];
    if (inForce != nullptr && !inForce->frame.unit.empty()) {
        const ConversionOptions options{study.insulinPmolPerUiu};
        const auto factor = conversionFactor(analyte.id, analyte.unit, inForce->frame.unit, options);
        if (factor) {
            return {canonicalUnit(inForce->frame.unit), factor.value()};
        }
    }
    return {analyte.unit, 1.0};
}

}  // namespace

FigureScope::FigureScope(const FigureStyle& style) : outer_(inForce) {
    inForce = &style;
}

FigureScope::~FigureScope() {
    inForce = outer_;
}

const FigureStyle* FigureScope::current() {
    return inForce;
}

const FoodAppearance* appearanceOf(std::string_view foodId) {
    if (inForce != nullptr) {
        for (const FoodAppearance& food : inForce->foods) {
            if (food.food == foodId) {
                return &food;
            }
        }
    }
    return nullptr;
}

QString localised(QString text) {
    if (inForce == nullptr || inForce->language == FigureLanguage::english) {
        return text;
    }
    for (qsizetype i = 1; i + 1 < text.size(); ++i) {
        if (text[i] == u'.' && text[i - 1].isDigit() && text[i + 1].isDigit()) {
            text[i] = u',';
        }
    }
    return text;
}

ShownUnit shownUnit(const Study& study, std::string_view analyteId) {
    const CoreUnit unit = coreUnit(study, analyteId);
    return {plainLabel(unit.unit), unit.factor};
}

ShownUnit shownMeasureUnit(const Study& study, std::string_view analyteId, std::string_view measureKey) {
    const auto index = measureIndex(measureKey);
    if (!index || !findAnalyte(study, analyteId)) {
        return {};
    }
    const Measure& measure = measureList()[*index];
    const CoreUnit unit = coreUnit(study, analyteId);
    return {plainLabel(unitOf(measure, unit.unit)).replace(u' ', QChar(0x00A0)),
            measure.unit == MeasureUnit::minutes ? 1.0 : unit.factor};
}

}  // namespace aftercurve
