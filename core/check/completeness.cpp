// Visits and foods that are missing.
#include <algorithm>
#include <map>
#include <set>

#include "core/check/checks.h"
#include "core/check/found.h"

namespace aftercurve::checks {

namespace {

constexpr std::string_view repeatsKey = "reference-repeats";
constexpr std::string_view emptyKey = "visit-without-samples";
constexpr std::string_view foodKey = "food-missing";
constexpr std::size_t leastRepeats = 2;

std::vector<Problem> runRepeats(const CheckInput& input) {
    Found found{input, repeatsKey};
    const std::string reference = indexReference(input.study, input.plan);
    const auto food = findFood(input.study, reference);
    if (!input.plan.index || !food) {
        return {};
    }
    std::map<std::uint32_t, std::size_t> visits;  // by subject that has any visit
    for (const CheckVisit& visit : input.visits) {
        std::size_t& count = visits[visit.subject];
        count += static_cast<std::size_t>(visit.food == *food && !visit.excluded);
    }
    std::map<std::size_t, std::size_t> often;
    for (const auto& [subject, count] : visits) {
        ++often[count];
    }
    std::size_t usual = 0;
    std::size_t most = 0;
    for (const auto& [count, subjects] : often) {
        if (subjects >= most) {  // of two that are as frequent the larger one
            usual = count;
            most = subjects;
        }
    }
    // Where nobody has a repeat, the index says so once.
    if (often.empty() || often.rbegin()->first < leastRepeats) {
        return {};
    }
    for (const auto& [subject, count] : visits) {
        if (count >= leastRepeats && count >= usual) {
            continue;
        }
        found.add(Severity::warning, [&, subject = subject, count = count] {
            Problem p;
            p.subject = input.study.subjects[subject].id;
            p.food = reference;
            p.what = "subject " + p.subject + ": " + std::to_string(count) +
                     (count == 1 ? " visit" : " visits") + " with the reference food " + reference + "; " +
                     (count < usual ? "most subjects have " + std::to_string(usual)
                                    : "at least " + std::to_string(leastRepeats) + " are asked for");
            p.remedy =
                "look for rows with a wrong food or visit; else say in the report how many repeats there "
                "were";
            for (const CheckVisit& visit : input.visits) {
                if (visit.subject == subject && p.row == 0) {
                    const Problem place = problemAt(input, visit);
                    p.file = place.file;
                    p.row = place.row;
                }
            }
            return p;
        });
    }
    return found.take();
}

std::vector<Problem> runEmpty(const CheckInput& input) {
    Found found{input, emptyKey};
    std::vector<bool> withRows(input.study.visits.size(), false);
    for (const CheckVisit& visit : input.visits) {
        if (visit.record) {
            withRows[*visit.record] = true;
        }
    }
    for (std::size_t r = 0; r < withRows.size(); ++r) {
        if (!withRows[r]) {
            found.add(Severity::warning, [&] {
                Problem p = problemAtRecord(input, input.study.visits[r]);
                p.what += ": no row in the samples files";
                p.remedy = "look for its rows under another subject, food or visit, or say why it has none";
                return p;
            });
        }
    }
    // Rows without a single value.
    const std::size_t visits = input.visits.size();
    for (std::size_t v = 0; v < visits; ++v) {
        if (input.visits[v].excluded || input.study.analytes.empty()) {
            continue;
        }
        bool any = false;
        for (std::size_t a = 0; a < input.study.analytes.size(); ++a) {
            const CheckCurve& curve = input.curves[a * visits + v];
            any = any || !curve.samples.empty() || !curve.belowLimit.empty();
        }
        if (!any) {
            found.add(Severity::warning, [&] {
                Problem p = problemAt(input, input.visits[v]);
                p.what +=
                    ": none of its " + std::to_string(input.visits[v].draws.size()) + " rows has a value";
                p.remedy = "look for the laboratory's values, or exclude the visit with a reason";
                return p;
            });
        }
    }
    return found.take();
}

std::vector<Problem> runFood(const CheckInput& input) {
    Found found{input, foodKey};
    // With a comparator every food is compared, and the comparison names who is left out and why.
    if (findFood(input.study, input.plan.comparator)) {
        return {};
    }
    std::set<std::uint32_t> fed;
    std::map<std::uint32_t, std::set<std::uint32_t>> bySubject;
    for (const CheckVisit& visit : input.visits) {
        fed.insert(visit.food);
        bySubject[visit.subject].insert(visit.food);
    }
    for (const auto& [subject, foods] : bySubject) {
        for (const std::uint32_t food : fed) {
            if (foods.contains(food)) {
                continue;
            }
            found.add(Severity::note, [&, subject = subject] {
                Problem p;
                p.file = input.study.subjectsFile;
                p.subject = input.study.subjects[subject].id;
                p.food = input.study.foods[food].id;
                p.what = "subject " + p.subject + " has no visit with " + p.food;
                return p;
            });
        }
    }
    return found.take();
}

}  // namespace

Check referenceRepeats() {
    return {repeatsKey, "Repeats of the reference food missing",
            "at least 2: ISO 26642:2010 (a summary read); the others' number: common practice, no source",
            runRepeats};
}

Check visitWithoutSamples() {
    return {emptyKey, "Visit without samples", "no limit", runEmpty};
}

Check foodMissing() {
    return {foodKey, "Subject without one of the foods", "no limit", runFood};
}

}  // namespace aftercurve::checks
