#include <algorithm>

#include "ui/figures/figure_text.h"
#include "ui/figures/plot_frame.h"
#include "ui/figures/symptoms_plot.h"

namespace aftercurve {

namespace {

using Bars = std::vector<const ToleranceCategories*>;

constexpr double barWidth = 0.72;
constexpr double gapBetweenItems = 0.6;
constexpr double mostPercent = 100.0;

Bars shownBars(const Findings& findings, const FigureChoice& choice) {
    const ToleranceFindings& tolerance = findings.tolerance;
    const bool oneItem =
        std::any_of(tolerance.quantities.begin(), tolerance.quantities.end(), [&](const DiaryQuantity& one) {
            return one.kind == DiaryQuantityKind::item && one.id == choice.measure;
        });
    Bars shown;
    for (const ToleranceCategories& bar : tolerance.categories) {
        const bool item = !oneItem || tolerance.quantities[bar.quantity].id == choice.measure;
        const bool food = choice.food.empty() || tolerance.runs.arms[bar.arm].food == choice.food;
        if (item && food && bar.subjectCount > 0) {
            shown.push_back(&bar);
        }
    }
    return shown;
}

bool available(const Study& /*study*/, const Findings& findings, const FigureChoice& choice) {
    return !shownBars(findings, choice).empty();
}

/// From pale to dark; the least score is grey.
QColor colourOf(std::size_t category, std::size_t count, const FigureLook& look) {
    if (category == 0) {
        return QColor(0xD9, 0xD9, 0xD9);
    }
    const double share = count > 2 ? static_cast<double>(category - 1) / static_cast<double>(count - 2) : 1.0;
    const QColor pale = look.grey ? QColor(0xBB, 0xBB, 0xBB) : QColor(0xF3, 0xD9, 0xA4);
    const QColor dark = look.grey ? QColor(0x22, 0x22, 0x22) : QColor(0xA3, 0x3B, 0x00);
    const auto mix = [share](int from, int to) {
        return static_cast<int>(from + share * static_cast<double>(to - from));
    };
    return {mix(pale.red(), dark.red()), mix(pale.green(), dark.green()), mix(pale.blue(), dark.blue())};
}

void addPiece(QCPAxisRect& panel, const QString& id, double at, double from, double to, const QColor& fill,
              const FigureLook& look) {
    auto* piece = new QCPBars(yAxisOf(panel), xAxisOf(panel));
    piece->setObjectName(id);
    piece->setWidthType(QCPBars::wtPlotCoords);
    piece->setWidth(barWidth);
    piece->setBrush(fill);
    piece->setPen(solidPen(look.ink, look.thin));
    piece->setBaseValue(from);
    piece->addData(at, to - from);
}

void drawBar(QCPAxisRect& panel, const ToleranceCategories& bar, double at, const FigureLook& look) {
    double right = 0.0;
    for (std::size_t i = 0; i < bar.subjects.size(); ++i) {
        if (bar.subjects[i] == 0) {
            continue;
        }
        const double length =
            mostPercent * static_cast<double>(bar.subjects[i]) / static_cast<double>(bar.subjectCount);
        const QString id = QStringLiteral("share:%1:%2:%3").arg(bar.quantity).arg(bar.arm).arg(i);
        if (i == 0) {
            addPiece(panel, id, at, 0.0, -length, colourOf(i, bar.subjects.size(), look), look);
        } else {
            addPiece(panel, id, at, right, right + length, colourOf(i, bar.subjects.size(), look), look);
            right += length;
        }
    }
}

std::vector<KeyEntry> keyOf(const Bars& shown, const FigureLook& look) {
    const auto longest = std::max_element(shown.begin(), shown.end(), [](const auto* a, const auto* b) {
        return a->subjects.size() < b->subjects.size();
    });
    std::vector<KeyEntry> entries;
    for (std::size_t i = 0; i < (*longest)->subjects.size(); ++i) {
        KeyEntry entry;
        entry.text = QString::number((*longest)->least + static_cast<int>(i));
        entry.patch = QBrush(colourOf(i, (*longest)->subjects.size(), look));
        entries.push_back(entry);
    }
    entries.front().text = FigureText::tr("worst score %1").arg(entries.front().text);
    return entries;
}

QString nameOf(const Study& study, const Findings& findings, const ToleranceCategories& bar,
               const FigureLook& look, double room) {
    const ToleranceFindings& tolerance = findings.tolerance;
    QString arm = plainLabel(armLabel(study, tolerance.runs.arms[bar.arm]));
    if (tolerance.runs.arms[bar.arm].doseG && arm.endsWith(QStringLiteral(" g"))) {
        arm.replace(arm.size() - 2, 1, QChar(0x00A0));
    }
    const QString item = plainLabel(tolerance.quantities[bar.quantity].label);
    return wrapped(FigureText::tr("%1: %2 (n = %3)").arg(item, arm).arg(bar.subjectCount), look.smallFont,
                   room);
}

void draw(QCustomPlot& plot, const Study& study, const Findings& findings, const FigureChoice& choice,
          const FigureStyle& style) {
    const FigureLook look = lookFor(plot, style);
    const Bars shown = shownBars(findings, choice);
    if (shown.empty()) {
        drawEmpty(plot, look, FigureText::tr(symptomsDivergingFigure().emptyText.data()));
        return;
    }
    clearPlot(plot, look);
    plot.plotLayout()->addElement(0, 0, new FigureKey(&plot, look, keyOf(shown, look)));
    plot.plotLayout()->setRowStretchFactor(0, 0.001);
    QCPAxisRect* panel = newPanel(plot, look);
    plot.plotLayout()->addElement(1, 0, panel);
    std::vector<PlacedLabel> names;
    double at = 0.0;
    const double room = 0.4 * std::max(1, plot.width());
    for (std::size_t i = 0; i < shown.size(); ++i) {
        if (i > 0) {
            at += 1.0 + (shown[i]->quantity != shown[i - 1]->quantity ? gapBetweenItems : 0.0);
        }
        drawBar(*panel, *shown[i], at, look);
        names.push_back({at, nameOf(study, findings, *shown[i], look, room)});
    }
    QCPAxis* x = xAxisOf(*panel);
    QCPAxis* y = yAxisOf(*panel);
    x->setRange(-mostPercent - 4.0, mostPercent + 4.0);
    std::vector<PlacedLabel> ticks;
    for (const int percent : {-100, -50, 0, 50, 100}) {
        ticks.push_back({static_cast<double>(percent), QString::number(std::abs(percent))});
    }
    setLabels(*x, ticks);
    y->setRange(-0.7, at + 0.7);
    y->setRangeReversed(true);
    setLabels(*y, names);
    y->setTickLength(0, 0);
    x->setLabel(wrapped(
        FigureText::tr("Subjects by their worst day (%): least score to the left, higher to the right"),
        look.font, 0.58 * std::max(1, plot.width())));
    addLine(*panel, QStringLiteral("line"), 0.0, -0.7, 0.0, at + 0.7, solidPen(look.ink, look.thin));
}

}  // namespace

FigureKind symptomsDivergingFigure() {
    return {"symptoms_diverging",
            QT_TRANSLATE_NOOP("Figures", "Symptoms by food"),
            &available,
            QT_TRANSLATE_NOOP("Figures", "No symptom diary with scores."),
            &draw,
            true};
}

}  // namespace aftercurve
