// What the report of a study takes, step by step: 24 subjects, 4 foods, glucose and insulin, 9 draws a curve
// (invented, seeded).
//     QT_QPA_PLATFORM=offscreen aftercurve_report_time [SUBJECTS] [FOODS] [FOLDER FOR THE FILES]
#include <QApplication>
#include <chrono>
#include <cmath>
#include <cstdlib>
#include <ctime>
#include <fstream>
#include <functional>
#include <iostream>
#include <random>

#include "core/findings/analyse.h"
#include "ui/report/report_draft.h"

namespace {

aftercurve::Study studyOf(int subjects, int foods) {
    using namespace aftercurve;
    Study study;
    study.title = "Invented study of " + std::to_string(subjects) + " subjects";
    study.sampleFiles = {"samples.csv"};
    study.analytes = {{"glucose", "mmol/L", ""}, {"insulin", "pmol/L", ""}};
    study.concentrations.resize(2);
    for (int f = 0; f < foods; ++f) {
        study.foods.push_back({"food-" + std::to_string(f), "Food " + std::to_string(f),
                               f == 0 ? FoodRole::reference : FoodRole::test, 50.0, 200.0});
    }
    std::mt19937_64 random{5};
    std::normal_distribution<double> noise{0.0, 0.3};
    for (int s = 0; s < subjects; ++s) {
        study.subjects.push_back({"s" + std::to_string(s), "", "", {}, {}});
        for (int f = 0; f < foods; ++f) {
            for (const double t : {-5.0, 0.0, 15.0, 30.0, 45.0, 60.0, 90.0, 120.0, 150.0}) {
                Draw draw;
                draw.subject = static_cast<std::uint32_t>(s);
                draw.food = static_cast<std::uint32_t>(f);
                draw.timeMin = t;
                draw.row = static_cast<std::uint32_t>(study.draws.size() + 2);
                study.draws.push_back(draw);
                const double shape = t > 0 ? t / 40.0 * std::exp(1.0 - t / 40.0) : 0.0;
                study.concentrations[0].emplace_back(5.0 + (3.5 - 0.4 * f) * shape + noise(random));
                study.concentrations[1].emplace_back(40.0 + (250 - 30 * f) * shape +
                                                     10 * std::abs(noise(random)));
            }
        }
    }
    return study;
}

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
    const Study study = studyOf(argc > 1 ? std::atoi(argv[1]) : 24, argc > 2 ? std::atoi(argv[2]) : 4);
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
