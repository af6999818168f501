// Each text of the most used figures stands in the table of languages: the sources are read.
#include "ui/figures/figure_language.h"

#include <gtest/gtest.h>

#include <QFile>
#include <QRegularExpression>

namespace aftercurve {
namespace {

/// The literal as the compiler reads it: joined pieces, escapes of quotes and of code points.
QString literal(QString text) {
    static const QRegularExpression joint(QStringLiteral("\"\\s*\""));
    text.replace(joint, QString());
    text = text.trimmed().mid(1);
    text.chop(1);
    text.replace(QStringLiteral("\\u00A0"), QString(QChar(0x00A0)));
    text.replace(QStringLiteral("\\\""), QStringLiteral("\""));
    return text;
}

QStringList textsOf(const QString& name) {
    QFile file(QStringLiteral(TEST_SOURCE_ROOT "/ui/figures/") + name);
    EXPECT_TRUE(file.open(QIODevice::ReadOnly)) << name.toStdString();
    static const QRegularExpression call(QStringLiteral(
        R"((?:FigureText::tr\(\s*|QT_TRANSLATE_NOOP\("Figures",\s*)((?:"(?:[^"\\]|\\.)*"\s*)+))"));
    QStringList texts;
    auto matches = call.globalMatch(QString::fromUtf8(file.readAll()));
    while (matches.hasNext()) {
        texts.push_back(literal(matches.next().captured(1)));
    }
    EXPECT_FALSE(texts.isEmpty()) << name.toStdString();
    return texts;
}

TEST(FigureLanguages, EveryTextOfTheMostUsedFiguresIsTranslated) {
    std::size_t read = 0;
    for (const char* name :
         {"curves_mean.cpp", "curves_increment.cpp", "curves_subjects.cpp", "comparison_paired.cpp",
          "comparison_estimates.cpp", "index_values.cpp", "agreement_plot.cpp", "interval_rows.cpp",
          "figure_text.cpp", "composed_figure.cpp", "default_figures.cpp"}) {
        for (const QString& text : textsOf(QString::fromLatin1(name))) {
            ++read;
            for (const FigureLanguage language : {FigureLanguage::german, FigureLanguage::swedish}) {
                const QString translated =
                    figureTranslator(language).translate("Figures", text.toUtf8().constData());
                EXPECT_FALSE(translated.isEmpty()) << name << ": " << text.toStdString();
                for (const auto* place : {"%1", "%2", "%3", "%4"}) {
                    EXPECT_EQ(text.contains(QLatin1String(place)), translated.contains(QLatin1String(place)))
                        << text.toStdString() << place;
                }
            }
        }
    }
    EXPECT_GT(read, 60U);
}

TEST(FigureLanguages, EnglishIsLeftAlone) {
    EXPECT_TRUE(figureTranslator(FigureLanguage::english).translate("Figures", "Mean curves").isEmpty());
}

}  // namespace
}  // namespace aftercurve
