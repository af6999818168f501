// Times the bootstrap and the sign flips on the pairs of a file, for resampling_against_r.sh.
// Usage: aftercurve_resampling_time PAIRS.csv RESAMPLES FLIPS RUNS THREADS; prints what, n, seconds: the best
// of RUNS.
#include <algorithm>
#include <cstdio>
#include <cstdlib>
#include <ctime>
#include <fstream>
#include <limits>
#include <string>
#include <vector>

#include "core/compare/bootstrap.h"
#include "core/compare/permutation_test.h"
#include "core/compare/ratio_of_means.h"

namespace {

template <class Work>
void time(const char* what, std::size_t n, int runs, const Work& work) {
    double best = std::numeric_limits<double>::infinity();
    for (int run = 0; run < runs; ++run) {
        const std::clock_t begin = std::clock();
        if (!work()) {
            std::fprintf(stderr, "%s gave no result\n", what);
            std::exit(1);
        }
        best = std::min(best, static_cast<double>(std::clock() - begin) / CLOCKS_PER_SEC);
    }
    std::printf("%s\t%zu\t%.6f\n", what, n, best);
}

}  // namespace

int main(int argc, char** argv) {
    using namespace aftercurve;
    if (argc != 5) {
        std::fprintf(stderr, "usage: aftercurve_resampling_time PAIRS.csv RESAMPLES FLIPS RUNS\n");
        return 2;
    }
    std::ifstream file(argv[1]);
    std::string line;
    std::getline(file, line);
    std::vector<double> food;
    std::vector<double> comparator;
    while (std::getline(file, line)) {
        char* end = nullptr;
        food.push_back(std::strtod(line.c_str(), &end));
        comparator.push_back(std::strtod(end + 1, nullptr));
    }
    BootstrapSettings bootstrap;
    bootstrap.replicates = std::strtoull(argv[2], nullptr, 10);
    PermutationSettings flips;
    flips.replicates = std::strtoull(argv[3], nullptr, 10);
    flips.exactUpTo = 0;
    const int runs = std::atoi(argv[4]);
    const Differences differences = pairedDifferences(food, comparator);
    time("bootstrap mean", food.size(), runs,
         [&] { return bootstrapMean(differences, 0.05, bootstrap).bcaLow.has_value(); });
    time("bootstrap ratio", food.size(), runs,
         [&] { return bootstrapRatioOfMeans(food, comparator, 0.05, bootstrap).bcaLow.has_value(); });
    time("sign flips", food.size(), runs, [&] { return permutationTest(differences, flips).p.has_value(); });
}
