#pragma once

#include <array>
#include <cstddef>
#include <cstdint>
#include <map>
#include <optional>
#include <string>
#include <tuple>
#include <vector>

#include "core/files/id_index.h"
#include "core/files/problem_list.h"
#include "core/intake/mapping.h"
#include "core/study/study.h"

namespace aftercurve {

/// How often something was done, and the first rows it was done to.
struct Tally {
    std::size_t count = 0;
    std::array<std::size_t, 5> rows{};

    void add(std::size_t row) {
        if (count < rows.size()) {
            rows[count] = row;
        }
        ++count;
    }
};

/// "3 rows (4, 7, 12)", "9 rows (4, 7, 12, 13, 20 and 4 more)"; `noun` for one.
std::string wordsFor(const Tally& tally, const std::string& noun);

/// What is done to rows and is told afterwards, by table.
enum class Deed : std::uint8_t {
    comment,
    emptyRow,
    noValues,
    namedRow,
    repeatedHeader,
    filledDown,
    visitText,
    padded,
    limitWord,
    belowLimit,
    multiplied,
    dilutionKept,
    noDilution,
    timeWord,
    noActualTime,
    clockNumber,
    remarkLines,
    count,
};

struct VisitKey {
    std::uint32_t subject = 0;
    std::uint32_t food = 0;
    std::int32_t visit = 1;

    auto operator<=>(const VisitKey&) const = default;
};

/// What the rows of a visit say of it.
struct VisitFacts {
    std::int32_t period = 0;
    std::string date;
    std::string remark;
    std::optional<double> mealStart;  ///< minutes after midnight
    std::uint32_t table = 0;
    std::uint32_t row = 0;
};

/// The rows of all tables on their way to a study. Draw::file is the position of the table here, Draw::row
/// the row in it.
struct Gathered {
    std::vector<Subject> subjects;
    IdIndex subjectIndex;
    std::vector<Draw> draws;
    std::vector<std::vector<std::optional<double>>> concentrations;
    bool withNominal = false;  ///< the four below are as long as draws where their flag is set
    bool withClock = false;
    bool withReplicate = false;
    std::vector<std::optional<double>> nominal;
    std::vector<std::optional<double>> clock;  ///< time of day of the draw, minutes after midnight
    std::vector<bool> noActual;                ///< with withNominal: timeMin holds the nominal time
    std::vector<std::int32_t> replicate;
    std::vector<BelowLimit> belowLimit;
    std::vector<DrawRemark> remarks;
    std::map<VisitKey, VisitFacts> visits;
    bool keepVisits = false;    ///< dates, meal starts or remarks of visits are there
    bool keepSubjects = false;  ///< something is known of subjects
    std::vector<std::array<Tally, static_cast<std::size_t>(Deed::count)>> deeds;  ///< by table
    std::map<std::pair<std::string, std::string>, Tally> renamed;                 ///< food text, food id
    std::map<std::pair<std::string, std::string>, Tally> unknownFoods;            ///< table, text
    std::size_t limit = 0;                                                        ///< of draws
};

/// Study index of the subject, added where it is new.
std::uint32_t subjectAt(Gathered& gathered, std::string_view id);

}  // namespace aftercurve
