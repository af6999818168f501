#include "ui/figures/digestion_fractions_bars.h"

#include <algorithm>
#include <array>

#include "core/base/number_text.h"
#include "ui/figures/digestion_samples.h"
#include "ui/figures/figure_text.h"
#include "ui/figures/plot_frame.h"

namespace aftercurve {

namespace {

constexpr double barWidth = 0.6;
constexpr double shareOfPanel = 0.6;  ///< of the figure's height that the panel has, at least

struct Layer {
    StarchFraction fraction;
    QColor fill;
    bool darkText;
};

/// From dark to light, so that they stay apart in grey.
std::array<Layer, 3> layers() {
    return {Layer{StarchFraction::rapidly, QColor(0x3B, 0x3B, 0x3B), false},
            Layer{StarchFraction::slowly, QColor(0xA6, 0xA6, 0xA6), true},
            Layer{StarchFraction::resistant, QColor(0xF4, 0xF4, 0xF4), true}};
}

const FractionSummary* summaryOf(const DigestionFindings& findings, const DigestionSample& sample,
                                 StarchFraction fraction) {
    for (const FractionSummary& summary : sample.fractions) {
        if (summary.fraction == fraction && summary.basis == findings.basis) {
            return &summary;
        }
    }
    return nullptr;
}

std::optional<double> meanOf(const DigestionFindings& findings, const DigestionSample& sample,
                             StarchFraction fraction) {
    const FractionSummary* summary = summaryOf(findings, sample, fraction);
    return summary != nullptr ? summary->mean : std::nullopt;
}

std::vector<const DigestionSample*> shownSamples(const Findings& findings, const FigureChoice& choice) {
    return digestionSamples(findings, choice, [&findings](const DigestionSample& sample) {
        const auto all = layers();
        return std::any_of(all.begin(), all.end(), [&](const Layer& layer) {
            return meanOf(findings.digestion, sample, layer.fraction).has_value();
        });
    });
}

bool available(const Study& /*study*/, const Findings& findings, const FigureChoice& choice) {
    return !shownSamples(findings, choice).empty();
}

QString layerText(const DigestionFindings& findings, StarchFraction fraction) {
    const QString rapid = QString::fromStdString(plainNumber(findings.cuts.rapidMin));
    const QString slow = QString::fromStdString(plainNumber(findings.cuts.slowMin));
    switch (fraction) {
        case StarchFraction::rapidly:
            return FigureText::tr("rapidly digestible (to %1 min)").arg(rapid);
        case StarchFraction::slowly:
            return FigureText::tr("slowly digestible (%1 to %2 min)").arg(rapid, slow);
        default:
            return FigureText::tr("resistant (left at %1 min)").arg(slow);
    }
}

void addText(QCPAxisRect& panel, double at, double height, const QString& text, const QColor& colour,
             const FigureLook& look) {
    addTextAt(panel, text, look.smallFont, colour, at, height, Qt::AlignCenter);
}

/// "45.2 ± 1.3", with the SD where there is one.
QString numberOf(const FractionSummary& summary) {
    const QString mean = numberText(*summary.mean, 1);
    return summary.sd ? FigureText::tr("%1 ± %2").arg(mean, numberText(*summary.sd, 1)) : mean;
}

/// First word of the key.
QString shortName(StarchFraction fraction) {
    switch (fraction) {
        case StarchFraction::rapidly:
            return FigureText::tr("rapidly: %1");
        case StarchFraction::slowly:
            return FigureText::tr("slowly: %1");
        default:
            return FigureText::tr("resistant: %1");
    }
}

/// What a bar part must have for its number to stand in it.
struct NumberRoom {
    double width = 0.0;   ///< of a bar, pixels
    double height = 0.0;  ///< of a line, in the unit of the axis
};

/// The number, in two lines where the bar is narrow; empty where the part is too small for it.
QString numberInside(const FractionSummary& summary, const NumberRoom& room, const FigureLook& look) {
    const QString text = wrapped(numberOf(summary), look.smallFont, room.width);
    double widest = 0.0;
    const QStringList lines = text.split(u'\n');
    for (const QString& line : lines) {
        widest = std::max(widest, QFontMetricsF(look.smallFont).horizontalAdvance(line));
    }
    const bool fits =
        widest <= room.width && *summary.mean >= room.height * static_cast<double>(lines.size());
    return fits ? text : QString();
}

/// One sample's parts on top of each other; what is absent has no bar and is named beside. Numbers that have
/// no room in their part, to stand under the sample.
QStringList addStack(QCPAxisRect& panel, const DigestionFindings& findings, const DigestionSample& sample,
                     double at, double range, const NumberRoom& room, const FigureLook& look) {
    QStringList outside;
    QCPBars* below = nullptr;
    double top = 0.0;
    bool missing = false;
    for (const Layer& layer : layers()) {
        const FractionSummary* summary = summaryOf(findings, sample, layer.fraction);
        if (summary == nullptr || !summary->mean) {
            missing = true;
            continue;
        }
        auto* bar = new QCPBars(xAxisOf(panel), yAxisOf(panel));
        bar->setObjectName(QString::fromStdString(std::string{keyOf(layer.fraction)} + ":" + sample.sample));
        bar->setWidthType(QCPBars::wtPlotCoords);
        bar->setWidth(barWidth);
        bar->setBrush(layer.fill);
        bar->setPen(solidPen(look.ink, look.thin));
        if (below != nullptr) {
            bar->moveAbove(below);
        }
        bar->addData(at, *summary->mean);
        if (const QString inside = numberInside(*summary, room, look); !inside.isEmpty()) {
            addText(panel, at, top + *summary->mean / 2.0, inside,
                    layer.darkText ? look.ink : QColor(Qt::white), look);
        } else {
            outside << shortName(layer.fraction).arg(numberOf(*summary));
        }
        top += std::max(0.0, *summary->mean);
        below = bar;
    }
    if (missing) {
        addText(panel, at, top + 0.04 * range, FigureText::tr("a part is not known"), look.mid, look);
    }
    return outside;
}

void draw(QCustomPlot& plot, const Study& /*study*/, const Findings& findings, const FigureChoice& choice,
          const FigureStyle& style) {
    const FigureLook look = lookFor(plot, style);
    const auto shown = shownSamples(findings, choice);
    if (shown.empty()) {
        drawEmpty(plot, look, FigureText::tr(digestionFractionsFigure().emptyText.data()));
        return;
    }
    clearPlot(plot, look);
    std::vector<KeyEntry> key;
    for (const Layer& layer : layers()) {
        KeyEntry entry;
        entry.text = layerText(findings.digestion, layer.fraction);
        entry.mark = QCPScatterStyle(QCPScatterStyle::ssSquare, solidPen(look.ink, look.thin),
                                     QBrush(layer.fill), 1.6 * look.mark);
        key.push_back(std::move(entry));
    }
    key.push_back({FigureText::tr("numbers: mean ± SD"), Qt::NoPen, {}, {}, false});
    plot.plotLayout()->addElement(0, 0, new FigureKey(&plot, look, key));
    plot.plotLayout()->setRowStretchFactor(0, 0.001);
    QCPAxisRect* panel = newPanel(plot, look);
    plot.plotLayout()->addElement(1, 0, panel);
    Span heights;
    heights.take(0.0);
    for (const DigestionSample* sample : shown) {
        double top = 0.0;
        double bottom = 0.0;
        for (const Layer& layer : layers()) {
            const double part = meanOf(findings.digestion, *sample, layer.fraction).value_or(0.0);
            (part > 0.0 ? top : bottom) += part;
        }
        heights.take(top);
        heights.take(bottom);
    }
    QCPAxis* x = xAxisOf(*panel);
    QCPAxis* y = yAxisOf(*panel);
    x->setRange(-0.6, static_cast<double>(shown.size()) - 0.4);
    y->setRange(heights.padded(heights.low < 0.0 ? 0.05 : 0.0, 0.08));
    setNumberTicks(*y, 6);
    y->setLabel(
        FigureText::tr("Starch (%1)").arg(QString::fromUtf8(unitOf(findings.digestion.basis).data())));
    std::vector<QString> names;
    const double room = 0.75 * std::max(1, plot.width()) / static_cast<double>(shown.size());
    const double range = heights.high - heights.low;
    const NumberRoom inside{0.95 * barWidth * room, 1.15 * QFontMetricsF(look.smallFont).height() * range /
                                                        (shareOfPanel * std::max(1, plot.height()))};
    for (std::size_t i = 0; i < shown.size(); ++i) {
        const DigestionSample& sample = *shown[i];
        QString name = wrapped(plainLabel(sample.label), look.smallFont, room) + u'\n' +
                       FigureText::tr("n = %1").arg(sample.digestions);
        const QStringList outside =
            addStack(*panel, findings.digestion, sample, static_cast<double>(i), range, inside, look);
        for (const QString& number : outside) {
            name += u'\n' + wrapped(number, look.smallFont, room);
        }
        names.push_back(name);
    }
    setCategories(*x, names);
}

}  // namespace

FigureKind digestionFractionsFigure() {
    return {"digestion_fractions",
            QT_TRANSLATE_NOOP("Figures", "Starch fractions"),
            &available,
            QT_TRANSLATE_NOOP("Figures", "No starch fractions: the study has no assays with the cut times."),
            &draw,
            true};
}

}  // namespace aftercurve
