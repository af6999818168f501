#include "ui/window/statistics/rule_control.h"

#include <QStringList>

#include "core/base/number_text.h"
#include "ui/models/text.h"

namespace aftercurve {

std::string notesThatBeginWith(const Table& table, const std::string& begin) {
    std::string text;
    for (const std::string& note : table.notes) {
        if (note.starts_with(begin)) {
            text += (text.empty() ? "" : " ") + note;
        }
    }
    return text;
}

std::string tableNote(const Results& results, std::string_view table, std::size_t note) {
    const auto shownTable = results.table(table);
    return note < shownTable->notes.size() ? shownTable->notes[note] : std::string{};
}

QString numbersText(const std::vector<double>& numbers) {
    QStringList texts;
    for (const double number : numbers) {
        texts << shown(plainNumber(number));
    }
    return texts.join(QStringLiteral(" "));
}

bool readNumbers(const QString& text, std::vector<double>& numbers) {
    std::vector<double> read;
    for (const QString& part : text.simplified().split(u' ', Qt::SkipEmptyParts)) {
        bool ok = false;
        read.push_back(QString(part).replace(u',', u'.').toDouble(&ok));
        if (!ok) {
            return false;
        }
    }
    numbers = std::move(read);
    return true;
}

}  // namespace aftercurve
