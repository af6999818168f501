#include "ui/figures/default_figures.h"

#include <QStringList>
#include <algorithm>
#include <set>
#include <string>
#include <string_view>
#include <utility>

#include "core/figure/figure_words.h"
#include "ui/figures/curves_subjects.h"
#include "ui/figures/figure.h"
#include "ui/figures/figure_scope.h"
#include "ui/figures/figure_text.h"

namespace aftercurve {

namespace {

/// A file name stem that no earlier file has.
std::string unusedStem(const std::string& stem, std::set<std::string>& used) {
    std::string name = stem;
    for (int k = 2; !used.insert(name).second; ++k) {
        name = stem + "-" + std::to_string(k);
    }
    return name;
}

/// A figure of one comparison: one for each food.
bool isOfAComparison(std::string_view kind) {
    return kind == "comparison_paired" || kind == "agreement";
}

/// Pages that a kind of figure takes, a figure each.
int pagesFor(std::string_view kind, const Study& study, const Findings& findings,
             const FigureChoice& choice) {
    return kind == "curves_subjects" ? pagesOfSubjects(study, findings, choice) : 1;
}

QString titleOfPanel(const PanelSpec& panel, const Study& study) {
    if (!isFigureKind(panel.kind)) {
        return plainLabel(panel.kind);
    }
    QString title = FigureText::tr(figureKind(panel.kind).title.data());
    if (figureKind(panel.kind).ofTheWhole) {
        return title;
    }
    const ChosenKeys keys = chosenKeys(study, {}, panel.analyte, panel.measure);
    title = FigureText::tr("%1: %2").arg(title, analyteName(keys.analyte));
    if (!panel.food.empty()) {
        title += FigureText::tr(", %1").arg(foodLabel(study, panel.food));
    }
    if (panel.page > 1) {
        title += FigureText::tr(", page %1").arg(panel.page);
    }
    return title;
}

/// The foods of which a kind of figure gives one each; one empty id where it gives one of all.
std::vector<std::string> foodsFor(std::string_view kind, const Findings& findings, const Analyte& analyte) {
    if (!isOfAComparison(kind)) {
        return {std::string{}};
    }
    std::vector<std::string> foods;
    for (const ComparisonFinding& comparison : findings.comparisons) {
        if (comparison.analyte == analyte.id && comparison.measure == findings.plan.measure) {
            foods.push_back(comparison.food);
        }
    }
    return foods;
}

}  // namespace

double heightFor(std::string_view kind, const Study& study) {
    if (kind == "flow") {
        return 150.0;
    }
    if (kind == "symptoms_diverging") {
        std::set<std::pair<std::string, double>> arms;
        for (const DiaryDay& day : study.diary.days) {
            arms.emplace(day.food, day.doseG.value_or(-1.0));
        }
        const auto items = static_cast<double>(study.diary.items.size());
        const double rows = items * (1.6 + static_cast<double>(arms.size()));
        return std::clamp(26.0 + 3.6 * rows, FigureStyle{}.heightMm, 240.0);
    }
    if (kind == "curves_subjects" && study.subjects.size() > 12) {
        return study.subjects.size() > 30 ? 220.0 : 160.0;
    }
    return FigureStyle{}.heightMm;
}

std::string fileNamePart(std::string_view id) {
    std::string part;
    for (const char c : id) {
        const bool upper = c >= 'A' && c <= 'Z';
        const bool plain = (c >= 'a' && c <= 'z') || (c >= '0' && c <= '9');
        if (upper || plain) {
            part += upper ? static_cast<char>(c - 'A' + 'a') : c;
        } else if (!part.empty() && part.back() != '-') {
            part += '-';
        }
    }
    constexpr std::size_t longest = 60;
    if (part.size() > longest) {
        part.resize(longest);
    }
    while (!part.empty() && part.back() == '-') {
        part.pop_back();
    }
    return part.empty() ? "x" : part;
}

std::vector<FigureSpec> defaultFigures(const Study& study, const Findings& findings) {
    std::vector<FigureSpec> figures;
    std::set<std::string> used;
    for (const Analyte& analyte : study.analytes) {
        for (const FigureKind& kind : figureList()) {
            if (kind.ofTheWhole && &analyte != &study.analytes.front()) {
                continue;
            }
            for (const std::string& food : foodsFor(kind.key, findings, analyte)) {
                FigureChoice choice;
                choice.analyte = analyte.id;
                choice.food = food;
                if (!kind.available(study, findings, choice)) {
                    continue;
                }
                std::string stem{kind.key};
                if (!kind.ofTheWhole) {
                    stem += "_" + fileNamePart(analyte.id);
                }
                if (!food.empty()) {
                    stem += "_" + fileNamePart(food);
                }
                for (int page = 1; page <= pagesFor(kind.key, study, findings, choice); ++page) {
                    FigureSpec figure;
                    figure.id = unusedStem(stem, used);
                    PanelSpec& panel = figure.panels.emplace_back();
                    panel.kind = std::string{kind.key};
                    panel.analyte = analyte.id;
                    panel.food = food;
                    panel.page = page == 1 ? 0 : page;
                    figure.style.heightMm = heightFor(kind.key, study);
                    figures.push_back(std::move(figure));
                }
            }
        }
    }
    return figures;
}

std::vector<FigureSpec> figuresOf(const Study& study, const Findings& findings) {
    return study.figures.empty() ? defaultFigures(study, findings) : study.figures;
}

std::string titleOf(const FigureSpec& spec, const Study& study) {
    if (!spec.title.empty()) {
        return plainLabel(spec.title).toStdString();
    }
    const FigureScope scope(spec.style);
    QStringList titles;
    for (const PanelSpec& panel : spec.panels) {
        const QString title = titleOfPanel(panel, study);
        if (!titles.contains(title)) {
            titles.push_back(title);
        }
    }
    return titles.join(QStringLiteral("; ")).toStdString();
}

}  // namespace aftercurve
