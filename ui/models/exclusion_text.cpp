#include "ui/models/exclusion_text.h"

#include <QObject>
#include <QStringList>

#include "ui/models/text.h"

namespace aftercurve {

QString exclusionText(const Exclusion& exclusion) {
    QString text = exclusion.reason.empty() ? QObject::tr("excluded, no reason given")
                                            : QObject::tr("excluded: %1").arg(shown(exclusion.reason));
    if (!exclusion.analyte.empty()) {
        text = QObject::tr("%1 %2").arg(shown(exclusion.analyte), text);
    }
    QStringList origin;
    for (const std::string& part : {exclusion.by, exclusion.on}) {
        if (!part.empty()) {
            origin << shown(part);
        }
    }
    return origin.isEmpty() ? text : QObject::tr("%1 (%2)").arg(text, origin.join(QStringLiteral(", ")));
}

}  // namespace aftercurve
