// What the report of a study takes, step by step: 24 subjects, 4 foods, glucose and insulin, 9 draws a curve
// (invented, seeded).
//     QT_QPA_PLATFORM=offscreen aftercurve_report_time [SUBJECTS] [FOODS] [FOLDER FOR THE FILES]
#include <QApplication>
#include <chrono>
#include <cstdlib>
#include <ctime>
#include <fstream>
#include <functional>
#include <iostream>

#include "core/findings/analyse.h"
#include "tests/bench/bench_study.h"
#include "ui/report/report_draft.h"

namespace {

void timed(const char* what, const std::function<void()>& work) {
    const auto start = std::chrono::steady_clock::now();
    const std::clock_t busy = std::clock();
    work();
    const std::chrono::duration<double> took = std::chrono::steady_clock::now() - start;
    std::cout << what << ": " << took.count() << " s, CPU "
              << static_cast<double>(std::clock() - busy) / CLOCKS_PER_SEC << " s\n";
}

}  // namespace

int main(int argc, char** argv) {
    using namespace aftercurve;
    const QApplication application(argc, argv);
    Study study = bench::studyOf(argc > 1 ? std::atoi(argv[1]) : 24, argc > 2 ? std::atoi(argv[2]) : 4);
    study.title = "Invented study";
    Findings findings;
    timed("analyse", [&] { findings = analyse(study, study.plan).value(); });
    ReportDraft draft;
    timed("document and pages", [&] { draft = draftReport(study, findings, {}).value(); });
    timed("figures and PDF", [&] {
        if (const auto done = drawReport(draft, study, findings); !done) {
            std::cout << done.problem().what << '\n';
        }
    });
    std::vector<ReportFile> files;
    timed("HTML", [&] { files = reportFiles(draft); });
    std::cout << draft.figures.size() << " figures, " << draft.pages.size() << " pages\n";
    for (const ReportFile& file : files) {
        std::cout << file.name << ": " << file.bytes.size() << " bytes\n";
        if (argc > 3) {
            std::ofstream(std::string{argv[3]} + "/" + file.name, std::ios::binary) << file.bytes;
        }
    }
    return 0;
}
