#pragma once

#include <QString>
#include <optional>
#include <string>
#include <string_view>

namespace aftercurve {

/// Texts of the core are UTF-8; these two are the only way over the border.
inline QString shown(std::string_view text) {
    return QString::fromUtf8(text.data(), static_cast<qsizetype>(text.size()));
}

inline std::string plain(const QString& text) {
    return text.toStdString();
}

/// "Wheat wafer" of food id "wafer-wheat" and the like: first letter lower case, for the middle of a
/// sentence. A word with a second capital (an abbreviation) is left alone.
QString inSentence(const QString& label);

/// A finite number with a decimal point or a decimal comma; nothing where the text is none.
std::optional<double> numberFrom(QString text);

/// A number as print has it: a minus sign in place of the hyphen.
QString typeset(const QString& number);

/// "p < 0.001" and "95 %" kept on one line.
QString keptTogether(QString text);

/// "1 cell", "12 cells": `one` and `several` hold %1 for the number.
QString counted(qsizetype count, const QString& one, const QString& several);

/// First letter upper case, for a text that stands on its own.
QString asSentence(const QString& text);

}  // namespace aftercurve
