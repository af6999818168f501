#include "ui/figures/digestion_curves.h"

#include <limits>

#include "ui/figures/digestion_samples.h"
#include "ui/figures/figure_text.h"
#include "ui/figures/plot_frame.h"

namespace aftercurve {

namespace {

constexpr int stepsOfCurve = 200;

std::vector<const DigestionSample*> shownSamples(const Findings& findings, const FigureChoice& choice) {
    return digestionSamples(findings, choice,
                            [](const DigestionSample& sample) { return !sample.curve.empty(); });
}

bool available(const Study& /*study*/, const Findings& findings, const FigureChoice& choice) {
    return !shownSamples(findings, choice).empty();
}

const DigestionFit* chosenFit(const DigestionSample& sample) {
    return sample.fits.chosen ? &sample.fits.candidates[*sample.fits.chosen] : nullptr;
}

QString keyText(const DigestionSample& sample) {
    const QString name = FigureText::tr("%1 (n = %2)").arg(plainLabel(sample.label)).arg(sample.digestions);
    return chosenFit(sample) != nullptr ? name : FigureText::tr("%1, no curve fitted").arg(name);
}

void addFit(QCPAxisRect& panel, const DigestionSample& sample, const FoodLook& look, Span& values) {
    const DigestionFit* fit = chosenFit(sample);
    if (fit == nullptr) {
        return;
    }
    std::vector<double> x;
    std::vector<double> y;
    for (int i = 0; i <= stepsOfCurve; ++i) {
        x.push_back(fit->lastMin * i / stepsOfCurve);
        y.push_back(fittedValue(*fit, x.back()));
        values.take(y.back());
    }
    addCurve(panel, plainLabel(sample.label), x, y, look.pen, QCPScatterStyle())
        ->setObjectName(QStringLiteral("fit:") + QString::fromStdString(sample.sample));
}

/// Two phases one after the other, from the first reading that all digestions have to the last: thin and
/// undashed beside the fit. Whether there is one.
bool addPhasesInTurn(QCPAxisRect& panel, const DigestionSample& sample, const FoodLook& look, double thin,
                     Span& values) {
    std::vector<CurvePoint> shared;
    for (const DigestionMean& point : sample.curve) {
        if (point.n == sample.digestions) {
            shared.push_back({point.timeMin, point.mean});
        }
    }
    if (sample.slopes.phases.size() != 2 || shared.empty()) {
        return false;
    }
    std::vector<double> x;
    std::vector<double> y;
    const double length = shared.back().timeMin - shared.front().timeMin;
    for (int i = 0; i <= stepsOfCurve; ++i) {
        const double time = shared.front().timeMin + length * i / stepsOfCurve;
        const auto value = slopeCurve(sample.slopes, shared.front(), time);
        if (!value) {
            return false;
        }
        x.push_back(time);
        y.push_back(*value);
    }
    for (const double value : y) {
        values.take(value);
    }
    addCurve(panel, plainLabel(sample.label), x, y, solidPen(look.colour, thin), QCPScatterStyle())
        ->setObjectName(QStringLiteral("in turn:") + QString::fromStdString(sample.sample));
    return true;
}

void draw(QCustomPlot& plot, const Study& study, const Findings& findings, const FigureChoice& choice,
          const FigureStyle& style) {
    const FigureLook look = lookFor(plot, style);
    const auto shown = shownSamples(findings, choice);
    if (shown.empty()) {
        drawEmpty(plot, look, FigureText::tr(digestionCurvesFigure().emptyText.data()));
        return;
    }
    clearPlot(plot, look);
    QCPAxisRect* panel = newPanel(plot, look);
    plot.plotLayout()->addElement(1, 0, panel);
    const Study foods = foodsAndSamples(study);
    Span times;
    Span values;
    times.take(0.0);
    values.take(0.0);
    std::vector<KeyEntry> key;
    bool inTurn = false;
    for (const DigestionSample* sample : shown) {
        const FoodLook sampleLook = foodLook(foods, lookIdOf(study, sample->sample), look);
        std::vector<double> x;
        std::vector<double> y;
        QVector<double> bars;
        for (const DigestionMean& point : sample->curve) {
            x.push_back(point.timeMin);
            y.push_back(point.mean);
            bars.push_back(point.sd.value_or(std::numeric_limits<double>::quiet_NaN()));
            times.take(point.timeMin);
            values.take(point.mean - point.sd.value_or(0.0));
            values.take(point.mean + point.sd.value_or(0.0));
        }
        const QString id = QString::fromStdString(sample->sample);
        addFit(*panel, *sample, sampleLook, values);
        inTurn = addPhasesInTurn(*panel, *sample, sampleLook, look.thin, values) || inTurn;
        QCPGraph* marks = addMarks(*panel, plainLabel(sample->label), x, y, sampleLook.mark);
        marks->setObjectName(QStringLiteral("digestion:") + id);
        addErrorBars(*marks, bars, bars, solidPen(sampleLook.colour, look.thin), 0.6 * look.mark,
                     QCPErrorBars::etValueError)
            ->setObjectName(QStringLiteral("sd:") + id);
        key.push_back({keyText(*sample), sampleLook.pen, sampleLook.mark, {}, false});
    }
    if (inTurn) {
        key.push_back(
            {FigureText::tr("two phases one after the other"), solidPen(look.mid, look.thin), {}, {}, false});
    }
    key.push_back({FigureText::tr("bars: ± SD"), Qt::NoPen, {}, {}, false});
    QCPAxis* x = xAxisOf(*panel);
    QCPAxis* y = yAxisOf(*panel);
    x->setRange(timeRange(times, 0.6 * look.mark, 0.85 * std::max(1, plot.width())));
    y->setRange(values.padded(0.02, 0.06));
    setMinuteTicks(*x, 10);
    setNumberTicks(*y, 6);
    x->setLabel(FigureText::tr("Time of digestion (min)"));
    y->setLabel(FigureText::tr("Digested starch (% of total starch)"));
    plot.plotLayout()->addElement(0, 0, new FigureKey(&plot, look, key));
    plot.plotLayout()->setRowStretchFactor(0, 0.001);
}

}  // namespace

FigureKind digestionCurvesFigure() {
    return {"digestion_curves",
            QT_TRANSLATE_NOOP("Figures", "Digestion curves"),
            &available,
            QT_TRANSLATE_NOOP("Figures", "No digestion curve: the study has no assays, or no total starch."),
            &draw,
            true};
}

}  // namespace aftercurve
