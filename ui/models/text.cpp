#include "ui/models/text.h"

#include <QLocale>
#include <cmath>

namespace aftercurve {

QString inSentence(const QString& label) {
    if (label.isEmpty() || (label.size() > 1 && label.at(1).isUpper())) {
        return label;
    }
    return label.at(0).toLower() + label.mid(1);
}

std::optional<double> numberFrom(QString text) {
    text = text.trimmed();
    text.replace(u'\u2212', u'-').replace(u',', u'.');
    bool ok = false;
    const double value = QLocale::c().toDouble(text, &ok);
    return ok && std::isfinite(value) ? std::optional(value) : std::nullopt;
}

QString typeset(const QString& number) {
    return number.startsWith(u'-') ? u'−' + number.mid(1) : number;
}

QString keptTogether(QString text) {
    for (const char* sign : {"=", "<", ">"}) {
        text.replace(QStringLiteral(" %1 ").arg(QLatin1String(sign)),
                     QStringLiteral("\u00a0%1\u00a0").arg(QLatin1String(sign)));
    }
    return text.replace(QStringLiteral(" %"), QStringLiteral("\u00a0%"));
}

QString counted(qsizetype count, const QString& one, const QString& several) {
    return (count == 1 ? one : several).arg(QLocale().toString(count));
}

QString asSentence(const QString& text) {
    return text.isEmpty() ? text : text.at(0).toUpper() + text.mid(1);
}

}  // namespace aftercurve
