#include "ui/figures/write_figures.h"

#include <array>
#include <system_error>
#include <utility>

#include "core/files/atomic_write.h"
#include "ui/export/figure_export.h"

namespace aftercurve {

Result<std::vector<WrittenFigure>> drawFigures(
    const FigureRun& run, const Study& study, const Findings& findings,
    const std::function<Result<Done>(const std::string&, const std::string&)>& take,
    const std::function<bool(double)>& report) {
    std::vector<WrittenFigure> written;
    const auto& all = run.figures;
    for (const FigureSpec& spec : all) {
        if (report && !report(static_cast<double>(written.size()) / static_cast<double>(all.size()))) {
            Problem problem;
            problem.what = "cancelled";
            return problem;
        }
        WrittenFigure figure;
        figure.title = titleOf(spec, study);
        for (const FigureFormat format : run.formats) {
            FigureExportOptions options;
            options.format = format;
            options.dpi = run.dpi;
            const auto bytes = renderFigure(spec, study, findings, options);
            if (!bytes) {
                return bytes.problem();
            }
            const std::string data = bytes.value().toStdString();
            const std::string name = spec.id + std::string(endingOf(format));
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

Result<std::vector<WrittenFigure>> drawFigures(
    const Study& study, const Findings& findings, std::span<const FigureFormat> formats,
    const std::function<Result<Done>(const std::string&, const std::string&)>& take,
    const std::function<bool(double)>& report) {
    const std::vector<FigureSpec> all = figuresOf(study, findings);
    return drawFigures(FigureRun{all, formats}, study, findings, take, report);
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
