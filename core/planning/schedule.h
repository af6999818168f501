#pragma once

#include <cstddef>
#include <cstdint>
#include <string>
#include <vector>

#include "core/base/problem.h"
#include "core/base/result.h"
#include "core/planning/designs.h"

namespace aftercurve {

/// A group of subjects that is randomised by itself: "women", "men".
struct Stratum {
    std::string name;
    std::size_t subjects = 0;

    bool operator==(const Stratum&) const = default;
};

struct ScheduleOptions {
    std::vector<std::string> foods;  ///< ids; the first is letter A
    std::vector<Stratum> strata;     ///< at least one; a single one may have no name
    SequenceDesign design = SequenceDesign::williams;
    std::size_t block = 0;  ///< subjects of a block: a multiple of the design's sequences; 0: that number
    std::uint64_t seed = 1;
    std::string prefix;  ///< of the subjects' codes: "" gives 01, 02, ...

    bool operator==(const ScheduleOptions&) const = default;
};

constexpr std::size_t mostScheduledSubjects = 100'000;

/// Empty where a schedule can be made; else every fault: fewer than 2 foods, a food that is empty, stands
/// twice, is longer than 100 bytes or holds control characters (the same of strata), no subject, too many, a
/// block that is no multiple of the sequences, permutations of more than 4 foods.
std::vector<Problem> validate(const ScheduleOptions& options);

struct ScheduledSubject {
    std::string subject;
    std::size_t stratum = 0;   ///< index into the options' strata
    std::size_t block = 1;     ///< within the stratum, from 1
    std::size_t sequence = 0;  ///< index into Schedule::sequences

    bool operator==(const ScheduledSubject&) const = default;
};

/// Who eats what when.
struct Schedule {
    ScheduleOptions options;  ///< block filled in
    std::vector<FoodSequence> sequences;
    std::vector<ScheduledSubject> subjects;  ///< by stratum, in the order of enrolment
    std::vector<Problem> notes;  ///< a last block that is not filled, a design without carry-over balance

    bool operator==(const Schedule&) const = default;
};

/// Permuted blocks: in each block of each stratum every sequence stands equally often, shuffled by the
/// Fisher–Yates walk (from the last place down, partner below(place + 1)) over the sequences in order, with
/// the counter-based numbers of core/compare/counter_random.h: seed as given, replicate = stratum·2³² +
/// block, both from 0. So a schedule does not depend on the machine, and one stratum not on the size of
/// another. Only where a last block is not filled are its sequences unequal; a note says so. Fails with the
/// first fault of `validate`.
Result<Schedule> makeSchedule(const ScheduleOptions& options);

/// One three-digit code a food, 100 to 999, none twice, drawn with the schedule's seed. By food.
std::vector<std::string> sealedCodes(const ScheduleOptions& options);

}  // namespace aftercurve
