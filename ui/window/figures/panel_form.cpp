#include <QCoreApplication>
#include <algorithm>

#include "core/curve/measures.h"
#include "core/figure/figure_words.h"
#include "core/study/units.h"
#include "ui/figures/curves_subjects.h"
#include "ui/figures/figure.h"
#include "ui/figures/figure_text.h"
#include "ui/models/text.h"
#include "ui/window/figures/composition.h"
#include "ui/window/figures/figure_forms.h"

namespace aftercurve {

namespace {

struct Form {
    Q_DECLARE_TR_FUNCTIONS(PanelForm)
};

using Word = FigureFields::Word;
using Words = FigureFields::Words;

void addWordOfPanel(FigureFields& form, const QString& key, const QString& label, Words words,
                    std::string PanelSpec::*member) {
    form.addChoice(
        key, label, std::move(words), [member](const auto&, const PanelSpec& p) { return p.*member; },
        [member](FigureSpec&, PanelSpec& p, const std::string& word) {
            p.*member = word;
            return true;
        });
}

void addText(FigureFields& form, const QString& key, const QString& label,
             std::function<std::string&(PanelSpec&)> member, const QString& hint) {
    form.addText(
        key, label,
        [member](const auto&, const PanelSpec& p) {
            PanelSpec panel = p;
            return member(panel);
        },
        [member](FigureSpec&, PanelSpec& p, const std::string& text) {
            member(p) = text;
            return true;
        },
        hint);
}

void addNumber(FigureFields& form, const QString& key, const QString& label,
               std::function<std::optional<double>&(PanelSpec&)> member, const QString& hint) {
    form.addText(
        key, label,
        [member](const auto&, const PanelSpec& p) {
            PanelSpec panel = p;
            return numberIn(member(panel));
        },
        [member](FigureSpec&, PanelSpec& p, const std::string& text) { return readNumber(text, member(p)); },
        hint);
}

template <class List, class Text>
std::vector<Word> listWithAll(const QString& all, const List& list, Text text) {
    std::vector<Word> words{{all, ""}};
    for (const auto& one : list) {
        words.push_back({text(one), std::string{one.id}});
    }
    return words;
}

void addVisit(FigureFields& form) {
    form.addChoice(
        QStringLiteral("visit"), Form::tr("Visit"),
        [](const Study& study) {
            int last = 0;
            for (const Draw& draw : study.draws) {
                last = std::max(last, static_cast<int>(draw.visit));
            }
            std::vector<Word> words{{Form::tr("all visits"), "0"}};
            for (int visit = 1; visit <= std::min(last, 50); ++visit) {
                words.push_back({QString::number(visit), std::to_string(visit)});
            }
            return words;
        },
        [](const auto&, const PanelSpec& p) { return std::to_string(p.visit); },
        [](FigureSpec&, PanelSpec& p, const std::string& word) {
            p.visit = shown(word).toInt();
            return true;
        });
}

void addPage(FigureFields& form) {
    form.addChoice(
        QStringLiteral("page"), Form::tr("Page"),
        [](const Study& study) {
            const std::size_t pages = (study.subjects.size() + mostSubjectPanels - 1) / mostSubjectPanels;
            std::vector<Word> words{{Form::tr("the first"), "0"}};
            for (std::size_t page = 2; page <= pages; ++page) {
                words.push_back({QString::number(page), std::to_string(page)});
            }
            return words;
        },
        [](const auto&, const PanelSpec& p) { return std::to_string(p.page); },
        [](FigureSpec&, PanelSpec& p, const std::string& word) {
            p.page = shown(word).toInt();
            return true;
        });
}

void addWhat(FigureFields& form) {
    addWordOfPanel(
        form, QStringLiteral("kind"), Form::tr("Shows"),
        [](const Study&) {
            std::vector<Word> words;
            for (const FigureKind* kind : composableKinds()) {
                words.push_back({FigureText::tr(kind->title.data()), std::string{kind->key}});
            }
            return words;
        },
        &PanelSpec::kind);
    addWordOfPanel(
        form, QStringLiteral("analyte"), Form::tr("Analyte"),
        [](const Study& study) {
            return listWithAll(Form::tr("the first"), study.analytes,
                               [](const Analyte& analyte) { return analyteName(analyte.id); });
        },
        &PanelSpec::analyte);
    addWordOfPanel(
        form, QStringLiteral("measure"), Form::tr("Measure"),
        [](const Study&) {
            std::vector<Word> words{{Form::tr("the plan's"), ""}};
            for (const Measure& measure : measureList()) {
                words.push_back({measureName(measure.key), std::string{measure.key}});
            }
            return words;
        },
        &PanelSpec::measure);
    addWordOfPanel(
        form, QStringLiteral("food"), Form::tr("Food"),
        [](const Study& study) {
            return listWithAll(Form::tr("all foods"), study.foods,
                               [](const Food& food) { return shown(food.label); });
        },
        &PanelSpec::food);
    addWordOfPanel(
        form, QStringLiteral("subject"), Form::tr("Subject"),
        [](const Study& study) {
            return listWithAll(Form::tr("all subjects"), study.subjects,
                               [](const Subject& subject) { return shown(subject.id); });
        },
        &PanelSpec::subject);
    addVisit(form);
    addPage(form);
}

void addAxes(FigureFields& form) {
    const QString own = Form::tr("the figure's own");
    const QString data = Form::tr("after the data");
    form.addHeading(Form::tr("Titles and axes"));
    addText(
        form, QStringLiteral("title"), Form::tr("Over the panel"),
        [](PanelSpec& p) -> std::string& { return p.frame.title; }, Form::tr("nothing"));
    addText(
        form, QStringLiteral("xTitle"), Form::tr("Across, title"),
        [](PanelSpec& p) -> std::string& { return p.frame.x.title; }, own);
    addNumber(
        form, QStringLiteral("xLow"), Form::tr("Across, from"),
        [](PanelSpec& p) -> std::optional<double>& { return p.frame.x.low; }, data);
    addNumber(
        form, QStringLiteral("xHigh"), Form::tr("Across, to"),
        [](PanelSpec& p) -> std::optional<double>& { return p.frame.x.high; }, data);
    addText(
        form, QStringLiteral("yTitle"), Form::tr("Upwards, title"),
        [](PanelSpec& p) -> std::string& { return p.frame.y.title; }, own);
    addNumber(
        form, QStringLiteral("yLow"), Form::tr("Upwards, from"),
        [](PanelSpec& p) -> std::optional<double>& { return p.frame.y.low; }, data);
    addNumber(
        form, QStringLiteral("yHigh"), Form::tr("Upwards, to"),
        [](PanelSpec& p) -> std::optional<double>& { return p.frame.y.high; }, data);
    form.addChoice(
        QStringLiteral("unit"), Form::tr("Unit"),
        [](const Study& study) {
            std::vector<Word> words{{Form::tr("the study's"), ""}};
            for (const Unit& unit : unitTable()) {
                const bool there = std::any_of(study.analytes.begin(), study.analytes.end(),
                                               [&](const Analyte& a) { return a.id == unit.analyte; });
                const bool known = std::any_of(words.begin(), words.end(),
                                               [&](const Word& word) { return word.word == unit.unit; });
                if (there && !known) {
                    words.push_back({shown(unit.unit), std::string{unit.unit}});
                }
            }
            return words;
        },
        [](const auto&, const PanelSpec& p) { return p.frame.unit; },
        [](FigureSpec&, PanelSpec& p, const std::string& word) {
            p.frame.unit = word;
            return true;
        });
}

/// A share of the panel as per cent, for one coordinate of the key.
void addKeyPlace(FigureFields& form, const QString& key, const QString& label, double KeyPlace::*share) {
    form.addText(
        key, label,
        [share](const auto&, const PanelSpec& p) {
            return p.frame.key ? plain(QString::number(100.0 * (*p.frame.key).*share, 'g', 4))
                               : std::string{};
        },
        [share](FigureSpec&, PanelSpec& p, const std::string& text) {
            std::optional<double> perCent;
            if (!readNumber(text, perCent)) {
                return false;
            }
            if (!perCent) {
                p.frame.key.reset();
                return true;
            }
            KeyPlace place = p.frame.key.value_or(KeyPlace{});
            place.*share = *perCent / 100.0;
            p.frame.key = place;
            return true;
        },
        Form::tr("above the panel"));
}

void addKey(FigureFields& form) {
    form.addHeading(Form::tr("Spread and key"));
    form.addChoice(
        QStringLiteral("spread"), Form::tr("Bars of a mean"),
        [](const Study&) {
            const auto word = [](FigureSpread spread) { return std::string{wordFor(spread)}; };
            return std::vector<Word>{
                {Form::tr("standard error"), word(FigureSpread::standardError)},
                {Form::tr("standard deviation"), word(FigureSpread::standardDeviation)},
                {Form::tr("confidence interval"), word(FigureSpread::confidenceInterval)}};
        },
        [](const auto&, const PanelSpec& p) { return std::string{wordFor(p.frame.spread)}; },
        [](FigureSpec&, PanelSpec& p, const std::string& word) {
            p.frame.spread = figureSpreadFrom(word).value_or(p.frame.spread);
            return true;
        });
    form.addCheck(
        QStringLiteral("showKey"), Form::tr("Key shown"),
        [](const auto&, const PanelSpec& p) { return std::string{p.frame.showKey ? "yes" : ""}; },
        [](FigureSpec&, PanelSpec& p, const std::string& yes) {
            p.frame.showKey = !yes.empty();
            return true;
        });
    form.addChoice(
        QStringLiteral("keyPlace"), Form::tr("Key"),
        [](const Study&) {
            return std::vector<Word>{{Form::tr("above the panel"), "above"},
                                     {Form::tr("inside the panel"), "inside"}};
        },
        [](const auto&, const PanelSpec& p) { return std::string{p.frame.key ? "inside" : "above"}; },
        [](FigureSpec&, PanelSpec& p, const std::string& word) {
            if (word == "above") {
                p.frame.key.reset();
            } else if (!p.frame.key) {
                p.frame.key = keyInside;
            }
            return true;
        });
    addKeyPlace(form, QStringLiteral("keyX"), Form::tr("Key from left (%)"), &KeyPlace::x);
    addKeyPlace(form, QStringLiteral("keyY"), Form::tr("Key from top (%)"), &KeyPlace::y);
}

}  // namespace

FigureFields* panelForm(FigureFields::Check check, QWidget* parent) {
    auto* form = new FigureFields(QStringLiteral("figures.panel"), std::move(check), parent);
    addWhat(*form);
    addAxes(*form);
    addKey(*form);
    return form;
}

}  // namespace aftercurve
