#include <QCoreApplication>
#include <QFontDatabase>

#include "core/base/number_text.h"
#include "core/figure/figure_words.h"
#include "ui/models/text.h"
#include "ui/window/figures/figure_forms.h"

namespace aftercurve {

namespace {

struct Form {
    Q_DECLARE_TR_FUNCTIONS(FigureForm)
};

using Word = FigureFields::Word;

/// Widths of journals, common practice.
constexpr double columnWidthsMm[] = {85.0, 120.0, 175.0};
constexpr const char* ownWidth = "own";

void addCaption(FigureFields& form) {
    form.addText(
        QStringLiteral("title"), Form::tr("Title"), [](const auto& f, const auto&) { return f.title; },
        [](FigureSpec& f, PanelSpec&, const std::string& text) {
            f.title = text;
            return true;
        },
        Form::tr("after its panels"));
    form.addLongText(
        QStringLiteral("caption"), Form::tr("Caption"), [](const auto& f, const auto&) { return f.caption; },
        [](FigureSpec& f, PanelSpec&, const std::string& text) {
            f.caption = text;
            return true;
        },
        Form::tr("written by the program"));
    form.addText(
        QStringLiteral("id"), Form::tr("File name"), [](const auto& f, const auto&) { return f.id; },
        [](FigureSpec& f, PanelSpec&, const std::string& text) {
            f.id = text;
            return true;
        });
}

void addNumber(FigureFields& form, const QString& key, const QString& label, double FigureStyle::*number) {
    form.addText(
        key, label, [number](const auto& f, const auto&) { return plainNumber(f.style.*number); },
        [number](FigureSpec& f, PanelSpec&, const std::string& text) {
            return readNumber(text, f.style.*number);
        });
}

void addSize(FigureFields& form) {
    form.addHeading(Form::tr("Size"));
    form.addChoice(
        QStringLiteral("preset"), Form::tr("Column"),
        [](const Study&) {
            return std::vector<Word>{{Form::tr("single, 85 mm"), plainNumber(columnWidthsMm[0])},
                                     {Form::tr("one and a half, 120 mm"), plainNumber(columnWidthsMm[1])},
                                     {Form::tr("double, 175 mm"), plainNumber(columnWidthsMm[2])},
                                     {Form::tr("own width"), ownWidth}};
        },
        [](const auto& f, const auto&) {
            for (const double width : columnWidthsMm) {
                if (f.style.widthMm == width) {
                    return plainNumber(width);
                }
            }
            return std::string{ownWidth};
        },
        [](FigureSpec& f, PanelSpec&, const std::string& word) {
            return word == ownWidth || readNumber(word, f.style.widthMm);
        });
    addNumber(form, QStringLiteral("width"), Form::tr("Width (mm)"), &FigureStyle::widthMm);
    addNumber(form, QStringLiteral("height"), Form::tr("Height (mm)"), &FigureStyle::heightMm);
}

/// Asked of the desktop once; there may be hundreds.
const std::vector<Word>& typefaces() {
    static const std::vector<Word> words = [] {
        std::vector<Word> found;
        for (const QString& family : QFontDatabase::families()) {
            if (QFontDatabase::isSmoothlyScalable(family)) {
                found.push_back({family, plain(family)});
            }
        }
        return found;
    }();
    return words;
}

void addType(FigureFields& form) {
    form.addHeading(Form::tr("Type and lines"));
    addNumber(form, QStringLiteral("font"), Form::tr("Text (pt)"), &FigureStyle::fontPt);
    form.addChoice(
        QStringLiteral("family"), Form::tr("Typeface"), [](const Study&) { return typefaces(); },
        [](const auto& f, const auto&) { return f.style.fontFamily; },
        [](FigureSpec& f, PanelSpec&, const std::string& family) {
            f.style.fontFamily = family;
            return true;
        });
    addNumber(form, QStringLiteral("line"), Form::tr("Lines (pt)"), &FigureStyle::linePt);
    form.addChoice(
        QStringLiteral("colours"), Form::tr("Colours"),
        [](const Study&) {
            return std::vector<Word>{{Form::tr("colour"), "colour"}, {Form::tr("grey, for print"), "grey"}};
        },
        [](const auto& f, const auto&) { return std::string{f.style.grey ? "grey" : "colour"}; },
        [](FigureSpec& f, PanelSpec&, const std::string& word) {
            f.style.grey = word == "grey";
            return true;
        });
    form.addChoice(
        QStringLiteral("language"), Form::tr("Language"),
        [](const Study&) {
            const auto word = [](FigureLanguage language) { return std::string{wordFor(language)}; };
            return std::vector<Word>{{Form::tr("English"), word(FigureLanguage::english)},
                                     {Form::tr("German"), word(FigureLanguage::german)},
                                     {Form::tr("Swedish"), word(FigureLanguage::swedish)}};
        },
        [](const auto& f, const auto&) { return std::string{wordFor(f.style.language)}; },
        [](FigureSpec& f, PanelSpec&, const std::string& word) {
            f.style.language = figureLanguageFrom(word).value_or(f.style.language);
            return true;
        });
}

void addPanels(FigureFields& form) {
    form.addHeading(Form::tr("Panels"));
    form.addChoice(
        QStringLiteral("letters"), Form::tr("Letters"),
        [](const Study&) {
            const auto word = [](PanelLetters letters) { return std::string{wordFor(letters)}; };
            return std::vector<Word>{{Form::tr("A, B, C"), word(PanelLetters::capital)},
                                     {Form::tr("a, b, c"), word(PanelLetters::small)},
                                     {Form::tr("none"), word(PanelLetters::none)}};
        },
        [](const auto& f, const auto&) { return std::string{wordFor(f.letters)}; },
        [](FigureSpec& f, PanelSpec&, const std::string& word) {
            f.letters = panelLettersFrom(word).value_or(f.letters);
            return true;
        });
    form.addText(
        QStringLiteral("columns"), Form::tr("Side by side"),
        [](const auto& f, const auto&) { return std::to_string(f.columns); },
        [](FigureSpec& f, PanelSpec&, const std::string& text) {
            double number = 0.0;
            if (!readNumber(text, number) || number != static_cast<int>(number)) {
                return false;
            }
            f.columns = static_cast<int>(number);
            return true;
        });
}

}  // namespace

FigureFields* figureForm(FigureFields::Check check, QWidget* parent) {
    auto* form = new FigureFields(QStringLiteral("figures"), std::move(check), parent);
    addCaption(*form);
    addSize(*form);
    addType(*form);
    addPanels(*form);
    return form;
}

}  // namespace aftercurve
