#include "core/planning/schedule.h"

#include <algorithm>
#include <set>

#include "core/compare/counter_random.h"
#include "core/files/excerpt.h"

namespace aftercurve {

namespace {

Problem fault(std::string what, std::string remedy) {
    Problem problem;
    problem.what = std::move(what);
    problem.remedy = std::move(remedy);
    return problem;
}

Problem note(std::string what) {
    Problem problem;
    problem.severity = Severity::note;
    problem.what = std::move(what);
    return problem;
}

bool isPlainText(const std::string& text) {
    constexpr std::size_t mostBytes = 100;
    return text.size() <= mostBytes && printable(text) == text;
}

std::size_t subjectsOf(const ScheduleOptions& options) {
    std::size_t sum = 0;
    for (const Stratum& stratum : options.strata) {
        // Each at most one more than the bound, so that the sum cannot wrap.
        sum += std::min(stratum.subjects, mostScheduledSubjects + 1);
    }
    return sum;
}

/// 01, 02, ...: as many digits as the last one needs, two at least.
std::string codeOf(std::size_t number, std::size_t last, const std::string& prefix) {
    const std::string text = std::to_string(number);
    const std::size_t width = std::max<std::size_t>(2, std::to_string(last).size());
    return prefix + std::string(width - text.size(), '0') + text;
}

void shuffle(std::vector<std::size_t>& places, ReplicateRandom& random) {
    for (std::size_t last = places.size(); last > 1; --last) {
        std::swap(places[last - 1], places[random.below(static_cast<std::uint32_t>(last))]);
    }
}

void checkNames(const std::vector<std::string>& names, const std::string& what, bool mayBeEmpty,
                std::vector<Problem>& problems) {
    std::set<std::string> seen;
    for (const std::string& name : names) {
        if (name.empty() && !mayBeEmpty) {
            problems.push_back(fault("a " + what + " has no name", "give each " + what + " a short name"));
        } else if (!isPlainText(name)) {
            problems.push_back(fault("the name of a " + what + " cannot be used",
                                     "give at most 100 bytes of UTF-8 without control characters"));
        } else if (!seen.insert(name).second) {
            problems.push_back(fault(what + " '" + name + "' stands twice", "name each " + what + " once"));
        }
    }
}

}  // namespace

std::vector<Problem> validate(const ScheduleOptions& options) {
    std::vector<Problem> problems;
    const std::size_t foods = options.foods.size();
    if (foods < 2 || foods > mostScheduledFoods) {
        problems.push_back(
            fault(std::to_string(foods) + " foods cannot be put in order", "name 2 to 26 foods"));
    }
    checkNames(options.foods, "food", false, problems);
    std::vector<std::string> strata;
    for (const Stratum& stratum : options.strata) {
        strata.push_back(stratum.name);
        if (stratum.subjects == 0) {
            problems.push_back(
                fault("stratum '" + stratum.name + "' has no subject", "give its number of subjects"));
        }
    }
    checkNames(strata, "stratum", options.strata.size() == 1, problems);
    if (options.strata.empty()) {
        problems.push_back(fault("there is no subject", "give the number of subjects"));
    }
    if (subjectsOf(options) > mostScheduledSubjects) {
        problems.push_back(fault("more than 100000 subjects", "make schedules of smaller parts"));
    }
    if (!isPlainText(options.prefix)) {
        problems.push_back(fault("the prefix of the subjects' codes cannot be used",
                                 "give at most 100 bytes of UTF-8 without control characters"));
    }
    const std::size_t sequences = sequencesOf(options.design, foods).size();
    if (sequences == 0 && foods > mostPermutedFoods && foods <= mostScheduledFoods) {
        problems.push_back(fault("all orders of " + std::to_string(foods) + " foods are too many",
                                 "take the design 'williams'; all orders are for up to 4 foods"));
    }
    if (sequences > 0 && (options.block % sequences != 0 || options.block > mostScheduledSubjects)) {
        problems.push_back(fault("a block of " + std::to_string(options.block) + " cannot hold the " +
                                     std::to_string(sequences) + " sequences equally often",
                                 "give a multiple of " + std::to_string(sequences)));
    }
    return problems;
}

Result<Schedule> makeSchedule(const ScheduleOptions& options) {
    if (auto problems = validate(options); !problems.empty()) {
        return problems.front();
    }
    Schedule schedule;
    schedule.options = options;
    schedule.sequences = sequencesOf(options.design, options.foods.size());
    const std::size_t block = options.block == 0 ? schedule.sequences.size() : options.block;
    schedule.options.block = block;
    const std::size_t all = subjectsOf(options);
    schedule.subjects.reserve(all);
    for (std::size_t stratum = 0; stratum < options.strata.size(); ++stratum) {
        const std::size_t wanted = options.strata[stratum].subjects;
        for (std::size_t from = 0; from < wanted; from += block) {
            const std::size_t number = from / block;
            std::vector<std::size_t> places(block);
            for (std::size_t i = 0; i < block; ++i) {
                places[i] = i % schedule.sequences.size();
            }
            ReplicateRandom random(options.seed, RandomPurpose::schedule,
                                   (std::uint64_t{stratum} << 32U) | std::uint64_t{number});
            shuffle(places, random);
            for (std::size_t i = 0; i < std::min(block, wanted - from); ++i) {
                schedule.subjects.push_back({codeOf(schedule.subjects.size() + 1, all, options.prefix),
                                             stratum, number + 1, places[i]});
            }
        }
        if (wanted % block != 0) {
            const std::string& name = options.strata[stratum].name;
            schedule.notes.push_back(
                note((name.empty() ? "the last block" : "the last block of stratum '" + name + "'") +
                     " holds " + std::to_string(wanted % block) + " of " + std::to_string(block) +
                     " subjects, so the sequences do not stand equally often"));
        }
    }
    if (options.design == SequenceDesign::cyclic && options.foods.size() > 2) {
        schedule.notes.push_back(
            note("a cyclic square always puts the same food before another: carry-over is not balanced"));
    }
    return schedule;
}

std::vector<std::string> sealedCodes(const ScheduleOptions& options) {
    constexpr std::uint32_t lowest = 100;
    constexpr std::uint32_t count = 900;
    ReplicateRandom random(options.seed, RandomPurpose::sealedCodes, 0);
    std::vector<std::string> codes;
    while (codes.size() < std::min<std::size_t>(options.foods.size(), count)) {
        std::string code = std::to_string(lowest + random.below(count));
        if (std::find(codes.begin(), codes.end(), code) == codes.end()) {
            codes.push_back(std::move(code));
        }
    }
    return codes;
}

}  // namespace aftercurve
