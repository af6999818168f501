// Time and size of 100 figures of four panels each, written as SVG, PDF, PNG and TIFF in one run.
//   aftercurve_figures_time STUDY OUTDIR
#include <QApplication>
#include <chrono>
#include <filesystem>
#include <iostream>

#include "core/files/atomic_write.h"
#include "core/files/study_folder.h"
#include "core/findings/analyse.h"
#include "ui/figures/write_figures.h"

namespace {

/// Panels from the figures that the study has, four at a time, over and over.
std::vector<aftercurve::FigureSpec> hundredFigures(const std::vector<aftercurve::FigureSpec>& single) {
    std::vector<aftercurve::FigureSpec> figures(single.empty() ? 0 : 100);
    std::size_t next = 0;
    for (std::size_t i = 0; i < figures.size(); ++i) {
        figures[i].id = "figure-" + std::to_string(i + 1);
        figures[i].columns = 2;
        for (int panel = 0; panel < 4; ++panel) {
            figures[i].panels.push_back(single[next++ % single.size()].panels.front());
        }
    }
    return figures;
}

}  // namespace

int main(int argc, char** argv) {
    using namespace aftercurve;
    if (argc != 3) {
        std::cerr << "usage: aftercurve_figures_time STUDY OUTDIR\n";
        return 2;
    }
    qputenv("QT_QPA_PLATFORM", "offscreen");
    const QApplication application(argc, argv);
    const StudyReading reading = readStudyFolder(argv[1]);
    if (!reading.study) {
        std::cerr << "the study cannot be read\n";
        return 3;
    }
    const auto findings = analyse(*reading.study, reading.study->plan, reading.problems);
    if (!findings.ok()) {
        std::cerr << lineFor(findings.problem()) << '\n';
        return 3;
    }
    const std::filesystem::path out = argv[2];
    std::filesystem::create_directories(out);
    const auto figures = hundredFigures(defaultFigures(*reading.study, findings.value()));
    for (const FigureFormat format :
         {FigureFormat::svg, FigureFormat::pdf, FigureFormat::png, FigureFormat::tiff}) {
        const FigureFormat formats[] = {format};
        std::size_t bytes = 0;
        const auto begin = std::chrono::steady_clock::now();
        const auto written = drawFigures(FigureRun{figures, formats}, *reading.study, findings.value(),
                                         [&](const std::string& name, const std::string& data) {
                                             bytes += data.size();
                                             return writeAtomically(out / name, data);
                                         });
        if (!written.ok()) {
            std::cerr << lineFor(written.problem()) << '\n';
            return 3;
        }
        const std::chrono::duration<double> took = std::chrono::steady_clock::now() - begin;
        std::cout << endingOf(format).substr(1) << ": " << written.value().size() << " figures, "
                  << took.count() << " s, " << bytes / 1000 << " kB\n";
    }
    return 0;
}
