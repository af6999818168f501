#include "ui/figures/write_figures.h"

#include <array>
#include <set>
#include <string_view>
#include <system_error>
#include <utility>

#include "core/files/atomic_write.h"
#include "ui/export/figure_export.h"
#include "ui/figures/figure.h"
#include "ui/figures/figure_text.h"

namespace aftercurve {

namespace {

std::string_view endingOf(FigureFormat format) {
    switch (format) {
        case FigureFormat::svg:
            return ".svg";
        case FigureFormat::pdf:
            return ".pdf";
        case FigureFormat::png:
            break;
    }
    return ".png";
}

/// A file name stem that no earlier file has.
std::string unusedStem(const std::string& stem, std::set<std::string>& used) {
    std::string name = stem;
    for (int k = 2; !used.insert(name).second; ++k) {
        name = stem + "-" + std::to_string(k);
    }
    return name;
}

struct Planned {
    const FigureKind* kind = nullptr;
    FigureChoice choice;
    std::string stem;
};

/// A figure of the foods, which is the same for every analyte: written once.
bool isOfTheFoods(const FigureKind& kind) {
    return kind.key == "portions" || kind.key == "symptoms_diverging" || kind.key == "symptoms_dose" ||
           kind.key == "bridge";
}

std::vector<Planned> plannedFigures(const Study& study, const Findings& findings) {
    std::vector<Planned> all;
    std::set<std::string> used;
    for (const Analyte& analyte : study.analytes) {
        for (const FigureKind& kind : figureList()) {
            if (isOfTheFoods(kind) && &analyte != &study.analytes.front()) {
                continue;
            }
            std::vector<FigureChoice> choices(1);
            std::vector<std::string> suffixes(1);
            if (kind.key == "comparison_paired") {
                choices.clear();
                suffixes.clear();
                for (const ComparisonFinding& comparison : findings.comparisons) {
                    if (comparison.analyte == analyte.id && comparison.measure == findings.plan.measure) {
                        choices.emplace_back().food = comparison.food;
                        suffixes.push_back("_" + fileNamePart(comparison.food));
                    }
                }
            }
            for (std::size_t i = 0; i < choices.size(); ++i) {
                choices[i].analyte = analyte.id;
                if (!kind.available(study, findings, choices[i])) {
                    continue;
                }
                const std::string stem =
                    isOfTheFoods(kind) ? std::string{kind.key}
                                       : std::string(kind.key) + "_" + fileNamePart(analyte.id) + suffixes[i];
                all.push_back({&kind, choices[i], unusedStem(stem, used)});
            }
        }
    }
    return all;
}

/// Many subjects need more height than a figure of one panel.
FigureStyle styleFor(const FigureKind& kind, const Study& study) {
    FigureStyle style;
    if (kind.key == "curves_subjects" && study.subjects.size() > 12) {
        style.heightMm = study.subjects.size() > 30 ? 220.0 : 160.0;
    }
    return style;
}

std::string titleFor(const Planned& planned, const Study& study) {
    if (isOfTheFoods(*planned.kind)) {
        return FigureText::tr(planned.kind->title.data()).toStdString();
    }
    QString title = FigureText::tr("%1: %2").arg(FigureText::tr(planned.kind->title.data()),
                                                 analyteName(planned.choice.analyte));
    if (!planned.choice.food.empty()) {
        title += FigureText::tr(", %1").arg(foodLabel(study, planned.choice.food));
    }
    return title.toStdString();
}

}  // namespace

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

Result<std::vector<WrittenFigure>> drawFigures(
    const Study& study, const Findings& findings, std::span<const FigureFormat> formats,
    const std::function<Result<Done>(const std::string&, const std::string&)>& take,
    const std::function<bool(double)>& report) {
    std::vector<WrittenFigure> written;
    const std::vector<Planned> all = plannedFigures(study, findings);
    for (const Planned& planned : all) {
        if (report && !report(static_cast<double>(written.size()) / static_cast<double>(all.size()))) {
            Problem problem;
            problem.what = "cancelled";
            return problem;
        }
        const FigureStyle style = styleFor(*planned.kind, study);
        WrittenFigure figure;
        figure.title = titleFor(planned, study);
        for (const FigureFormat format : formats) {
            FigureExportOptions options;
            options.format = format;
            const auto bytes = renderFigure(*planned.kind, study, findings, planned.choice, style, options);
            if (!bytes) {
                return bytes.problem();
            }
            const std::string data = bytes.value().toStdString();
            const std::string name = planned.stem + std::string(endingOf(format));
            if (const auto done = take(name, data); !done) {
                return done.problem();
            }
            figure.files.push_back(name);
            if (format == FigureFormat::svg) {
                figure.svg = data;
            }
        }
        written.push_back(std::move(figure));
    }
    if (report) {
        report(1.0);
    }
    return written;
}

Result<std::vector<WrittenFigure>> writeFigures(const Study& study, const Findings& findings,
                                                const std::filesystem::path& folder,
                                                const std::function<void(double)>& report) {
    std::error_code failure;
    std::filesystem::create_directories(folder, failure);
    if (failure) {
        Problem problem;
        problem.what = "the folder for figures cannot be made: " + failure.message();
        problem.remedy = "choose a folder that can be written to";
        problem.file = folder.string();
        return problem;
    }
    constexpr std::array formats{FigureFormat::svg, FigureFormat::pdf, FigureFormat::png};
    return drawFigures(
        study, findings, formats,
        [&](const std::string& name, const std::string& bytes) {
            return writeAtomically(folder / name, bytes);
        },
        [&](double fraction) {
            if (report) {
                report(fraction);
            }
            return true;
        });
}

}  // namespace aftercurve
