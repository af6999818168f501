#include <algorithm>
#include <cmath>

#include "ui/figures/figure_text.h"
#include "ui/figures/plot_frame.h"
#include "ui/figures/symptoms_plot.h"

namespace aftercurve {

namespace {

using Bars = std::vector<const ToleranceCategories*>;

constexpr double barWidth = 0.72;
constexpr double gapBetweenItems = 0.6;
constexpr double roomBelow = 0.3;
constexpr double mostPercent = 100.0;
constexpr double mostShareOfNames = 0.38;
constexpr double leastTypePt = 5.0;  ///< smaller type cannot be read in print

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

/// The bars of one item, under its name.
struct ItemRows {
    std::size_t quantity = 0;
    QString heading;
    std::vector<QString> arms;
    Bars bars;
};

QString armName(const Study& study, const DiaryArm& arm) {
    QString name = plainLabel(armLabel(study, arm));
    if (arm.doseG && name.endsWith(QStringLiteral(" g"))) {
        name.replace(name.size() - 2, 1, QChar(0x00A0));
    }
    return name;
}

/// The number of subjects stands once beside the item where its arms have the same, else beside each arm.
std::vector<ItemRows> rowsOf(const Study& study, const ToleranceFindings& tolerance, const Bars& shown) {
    std::vector<ItemRows> items;
    for (const ToleranceCategories* bar : shown) {
        if (items.empty() || items.back().quantity != bar->quantity) {
            items.push_back({bar->quantity, plainLabel(tolerance.quantities[bar->quantity].label), {}, {}});
        }
        items.back().bars.push_back(bar);
    }
    for (ItemRows& item : items) {
        const auto count = item.bars.front()->subjectCount;
        const bool same = std::all_of(item.bars.begin(), item.bars.end(),
                                      [count](const auto* bar) { return bar->subjectCount == count; });
        if (same) {
            item.heading = FigureText::tr("%1 (n = %2)").arg(item.heading).arg(count);
        }
        for (const ToleranceCategories* bar : item.bars) {
            const QString arm = armName(study, tolerance.runs.arms[bar->arm]);
            item.arms.push_back(same ? arm : FigureText::tr("%1 (n = %2)").arg(arm).arg(bar->subjectCount));
        }
    }
    return items;
}

/// How the rows share the height: a heading takes as much as an arm, arms as many lines as the longest name.
struct RowPlan {
    QFont font;
    double room = 0.0;  ///< of the names, pixels
    double linesOfArm = 1.0;
    std::size_t items = 0;  ///< that have room
};

double unitsOf(const std::vector<ItemRows>& rows, std::size_t items, double linesOfArm) {
    double units = roomBelow;
    for (std::size_t i = 0; i < items; ++i) {
        units +=
            (i > 0 ? gapBetweenItems : 0.0) + 1.0 + linesOfArm * static_cast<double>(rows[i].arms.size());
    }
    return units;
}

/// The largest type, from that of annotations down to the least that can be read, in which all rows have
/// room; where none has, as many items as the least type permits, but one.
RowPlan planFor(const std::vector<ItemRows>& rows, double width, double height, const FigureLook& look) {
    RowPlan plan;
    plan.room = mostShareOfNames * width;
    for (double pixels = look.smallFont.pixelSize();; pixels -= 0.25 * look.px) {
        plan.font = look.smallFont;
        const bool least = pixels <= leastTypePt * look.px;
        plan.font.setPixelSize(std::max(1, static_cast<int>(std::lround(pixels))));
        plan.linesOfArm = 1.0;
        for (const ItemRows& item : rows) {
            for (const QString& arm : item.arms) {
                plan.linesOfArm =
                    std::max(plan.linesOfArm,
                             1.0 + static_cast<double>(wrapped(arm, plan.font, plan.room).count(u'\n')));
            }
        }
        const double line = QFontMetricsF(plan.font).height();
        plan.items = rows.size();
        while (plan.items > 1 && line * unitsOf(rows, plan.items, plan.linesOfArm) > height) {
            if (!least) {
                break;
            }
            --plan.items;
        }
        if (least || line * unitsOf(rows, plan.items, plan.linesOfArm) <= height) {
            return plan;
        }
    }
}

/// The name of an item at the left edge of the figure.
void addHeading(QCPAxisRect& panel, const QString& text, double at, const QFont& font,
                const FigureLook& look) {
    QFont bold = font;
    bold.setBold(true);
    auto* item = new QCPItemText(panel.parentPlot());
    item->setObjectName(QStringLiteral("item"));
    item->setClipToAxisRect(false);
    item->position->setAxisRect(&panel);
    item->position->setAxes(xAxisOf(panel), yAxisOf(panel));
    item->position->setTypeX(QCPItemPosition::ptAbsolute);
    item->position->setTypeY(QCPItemPosition::ptPlotCoords);
    item->position->setCoords(4.0 * look.px, at);
    item->setPositionAlignment(Qt::AlignLeft | Qt::AlignVCenter);
    item->setText(text);
    item->setFont(bold);
    item->setColor(look.ink);
    item->setPadding(QMargins());
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
    QCPAxis* x = xAxisOf(*panel);
    QCPAxis* y = yAxisOf(*panel);
    const double width = std::max(1, plot.width());
    const QString title = wrapped(
        FigureText::tr("Subjects by their worst day (%): least score to the left, higher to the right"),
        look.font, 0.45 * width);
    const std::vector<ItemRows> rows = rowsOf(study, findings.tolerance, shown);
    // Key, tick labels, the title of the axis and the note are not for the rows.
    const double others = (7.0 + static_cast<double>(title.count(u'\n'))) * QFontMetricsF(look.font).height();
    const RowPlan plan = planFor(rows, width, std::max(1, plot.height()) - others, look);
    std::vector<PlacedLabel> names;
    double at = 0.0;
    for (std::size_t i = 0; i < plan.items; ++i) {
        at += i > 0 ? gapBetweenItems : 0.0;
        addHeading(*panel, rows[i].heading, at + 0.5, plan.font, look);
        at += 1.0;
        for (std::size_t k = 0; k < rows[i].bars.size(); ++k) {
            const double middle = at + 0.5 * plan.linesOfArm;
            drawBar(*panel, *rows[i].bars[k], middle, look);
            names.push_back({middle, wrapped(rows[i].arms[k], plan.font, plan.room)});
            at += plan.linesOfArm;
        }
    }
    x->setRange(-mostPercent - 4.0, mostPercent + 4.0);
    std::vector<PlacedLabel> ticks;
    for (const int percent : {-100, -50, 0, 50, 100}) {
        ticks.push_back({static_cast<double>(percent), QString::number(std::abs(percent))});
    }
    setLabels(*x, ticks);
    y->setRange(0.0, at + roomBelow);
    y->setRangeReversed(true);
    y->setTickLabelFont(plan.font);
    setLabels(*y, names);
    y->setTickLength(0, 0);
    y->setBasePen(Qt::NoPen);
    x->setLabel(title);
    addLine(*panel, QStringLiteral("line"), 0.0, 0.0, 0.0, at + roomBelow, solidPen(look.ink, look.thin));
    if (plan.items < rows.size()) {
        addCaption(plot, look, 2,
                   FigureText::tr("The first %1 of %2 symptoms: the figure is too low for all.")
                       .arg(plan.items)
                       .arg(rows.size()));
    }
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
