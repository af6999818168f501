#include "ui/window/comparison_sentence.h"

#include <QCoreApplication>

#include "ui/models/text.h"

namespace aftercurve {

namespace {

QString say(const char* text) {
    return QCoreApplication::translate("comparisonSentence", text);
}

/// Minus signs as print has them.
QString typeset(QString number) {
    return number.startsWith(u'-') ? u'−' + number.mid(1) : number;
}

QString withP(const QString& text) {
    return text.startsWith(u'<') ? QStringLiteral("p < ") + text.mid(1) : QStringLiteral("p = ") + text;
}

}  // namespace

QString comparisonSentence(const Table& comparisons, std::size_t row, const Findings& findings) {
    const ComparisonFinding& c = findings.comparisons[row];
    const auto cell = [&](std::string_view key) {
        for (std::size_t i = 0; i < comparisons.columns.size(); ++i) {
            if (comparisons.columns[i].key == key) {
                return typeset(shown(shownText(comparisons.rows[row].cells[i], comparisons.columns[i])));
            }
        }
        return QString();
    };
    const QString head = say("%1 of %2, %3 minus %4").arg(cell("measure"), cell("analyte"), inSentence(cell("food")), inSentence(cell("comparator")));
    if (!c.t.meanDifference) {
        return say("%1: no difference can be estimated (n = %2). %3").arg(head, cell("n"), shown(c.t.absentBecause));
    }
    QString text = say("%1: mean difference %2 %3").arg(head, cell("mean_difference"), cell("unit"));
    if (!c.t.p) {
        return say("%1 (n = %2). No interval and no test: %3.").arg(text, cell("n"), shown(c.t.absentBecause));
    }
    const QString level = QString::number(100.0 * (1.0 - findings.plan.alpha), 'g', 6);
    text += say(" (%1 % CI %2 to %3; paired t, n = %4, %5").arg(level, cell("ci_low"), cell("ci_high"), cell("n"), withP(cell("p")));
    if (c.pAdjusted && findings.plan.multiplicity == Multiplicity::holm) {
        text += say("; adjusted by Holm, %1").arg(withP(cell("p_adjusted")));
    }
    text += QStringLiteral(").");
    const double decided = c.pAdjusted.value_or(*c.t.p);
    const QString alpha = QString::number(findings.plan.alpha, 'g', 6);
    text += decided <= findings.plan.alpha
                ? say("\nA difference is shown at α = %1.").arg(alpha)
                : say("\nAt α = %1 this study does not show a difference; that is no evidence that the foods are alike. Read the interval.").arg(alpha);
    return text;
}

}  // namespace aftercurve
