// The order of the visits against the randomised sequence, and periods against dates.
#include <algorithm>
#include <cctype>
#include <map>

#include "core/check/checks.h"
#include "core/check/found.h"
#include "core/check/sequence_map.h"

namespace aftercurve::checks {

namespace {

constexpr std::string_view orderKey = "visit-order";
constexpr std::string_view datesKey = "period-dates";
/// Below this share of agreeing visits the sequence means something else than foods; common practice.
constexpr double leastAgreement = 0.5;

/// A visit of the samples or the visits file, as far as its order goes.
struct Ordered {
    std::uint32_t food = 0;
    std::int32_t visit = 1;
    std::int32_t period = 0;
    std::string date;
    const CheckVisit* withRows = nullptr;
    const VisitRecord* record = nullptr;
};

std::vector<std::vector<Ordered>> visitsBySubject(const CheckInput& input) {
    std::vector<std::vector<Ordered>> subjects(input.study.subjects.size());
    std::vector<bool> seen(input.study.visits.size(), false);
    for (const CheckVisit& visit : input.visits) {
        Ordered o{visit.food, visit.visit, visit.period, "", &visit, nullptr};
        if (visit.record) {
            o.record = &input.study.visits[*visit.record];
            o.date = o.record->date;
            seen[*visit.record] = true;
        }
        subjects[visit.subject].push_back(o);
    }
    for (std::size_t r = 0; r < seen.size(); ++r) {
        const VisitRecord& record = input.study.visits[r];
        if (!seen[r]) {
            subjects[record.subject].push_back(
                {record.food, record.visit, record.period, record.date, nullptr, &record});
        }
    }
    return subjects;
}

/// Food at each position of the sequence: by periods where every visit has one, else by dates where every
/// visit has one and none is missing; else nothing.
std::map<std::size_t, std::uint32_t> foodByPosition(std::vector<Ordered> visits, std::size_t positions) {
    std::map<std::size_t, std::uint32_t> order;
    const auto all = [&visits](auto has) { return std::all_of(visits.begin(), visits.end(), has); };
    if (all([](const Ordered& o) { return o.period > 0; })) {
        for (const Ordered& o : visits) {
            const auto position = static_cast<std::size_t>(o.period) - 1;
            if (position >= positions || !order.emplace(position, o.food).second) {
                return {};  // two visits in one period, or a period past the end: see below
            }
        }
        return order;
    }
    if (visits.size() == positions && all([](const Ordered& o) { return !o.date.empty(); })) {
        std::sort(visits.begin(), visits.end(),
                  [](const Ordered& a, const Ordered& b) { return a.date < b.date; });
        for (std::size_t i = 0; i < visits.size(); ++i) {
            order.emplace(i, visits[i].food);
        }
    }
    return order;
}

bool sameWord(std::string_view a, std::string_view b) {
    return std::equal(a.begin(), a.end(), b.begin(), b.end(), [](char x, char y) {
        return std::tolower(static_cast<unsigned char>(x)) == std::tolower(static_cast<unsigned char>(y));
    });
}

class OrderCheck {
  public:
    explicit OrderCheck(const CheckInput& input) : input_(input), found_(input, orderKey) {}

    std::vector<Problem> run() {
        const auto visits = visitsBySubject(input_);
        for (std::size_t s = 0; s < visits.size(); ++s) {
            Of of;
            of.subject = s;
            for (const std::string& part : sequenceParts(input_.study.subjects[s].sequence)) {
                of.parts.push_back(idOf(part));
            }
            if (!of.parts.empty() && !visits[s].empty()) {
                of.food = foodByPosition(visits[s], of.parts.size());
                of.visits = &visits[s];
                subjects_.push_back(std::move(of));
            }
        }
        std::vector<PartAndFood> pairs;
        for (const Of& of : subjects_) {
            for (const auto& [position, food] : of.food) {
                pairs.push_back({of.parts[position], food});
            }
        }
        if (pairs.empty() || !chooseMap(pairs)) {
            return found_.take();
        }
        for (const Of& of : subjects_) {
            compare(of);
        }
        return found_.take();
    }

  private:
    struct Of {
        std::size_t subject = 0;
        std::vector<std::size_t> parts;
        std::map<std::size_t, std::uint32_t> food;  ///< by position
        const std::vector<Ordered>* visits = nullptr;
    };

    std::size_t idOf(const std::string& part) {
        const auto found = std::find(parts_.begin(), parts_.end(), part);
        if (found != parts_.end()) {
            return static_cast<std::size_t>(found - parts_.begin());
        }
        parts_.push_back(part);
        return parts_.size() - 1;
    }

    /// False where the sequences cannot be read as foods; says so.
    bool chooseMap(const std::vector<PartAndFood>& pairs) {
        const std::vector<Food>& foods = input_.study.foods;
        const bool named = std::all_of(parts_.begin(), parts_.end(), [&](const std::string& part) {
            return std::any_of(foods.begin(), foods.end(), [&](const Food& f) {
                return sameWord(f.id, part) || sameWord(f.label, part);
            });
        });
        if (named) {
            for (const std::string& part : parts_) {
                const auto f = std::find_if(foods.begin(), foods.end(), [&](const Food& food) {
                    return sameWord(food.id, part) || sameWord(food.label, part);
                });
                foodOf_.emplace_back(static_cast<std::size_t>(f - foods.begin()));
            }
            return true;
        }
        const auto map = bestMap(pairs, parts_.size(), foods.size());
        std::string why;
        if (!map) {
            why = "they have more than " + std::to_string(mostMapped) + " letters or foods";
        } else if (static_cast<double>(map->fitting) < leastAgreement * static_cast<double>(pairs.size())) {
            why = "no reading of the letters as foods agrees with half of the visits";
        } else if (!map->unique && map->fitting < pairs.size()) {
            why = "several readings of the letters fit the visits equally well";
        }
        if (!why.empty()) {
            note("the order of the visits was not compared with the sequences: " + why,
                 "name the foods in the column sequence, for example drink-bread");
            return false;
        }
        foodOf_ = map->foodOf;
        std::string list;
        for (std::size_t part = 0; part < parts_.size(); ++part) {
            list += (list.empty() ? "" : ", ") + parts_[part] + " = " +
                    (foodOf_[part] ? foods[*foodOf_[part]].label : "no food");
        }
        note("sequences are read as " + list + ": the one-to-one reading that agrees with most visits (" +
                 std::to_string(map->fitting) + " of " + std::to_string(pairs.size()) + ")",
             "");
        return true;
    }

    void note(const std::string& what, const std::string& remedy) {
        found_.add(Severity::note, [&] {
            Problem p;
            p.file = input_.study.subjectsFile;
            p.column = "sequence";
            p.what = what;
            p.remedy = remedy;
            return p;
        });
    }

    void compare(const Of& of) {
        std::string asked;
        std::string was;
        const Ordered* first = nullptr;
        for (const auto& [position, food] : of.food) {
            const auto wanted = foodOf_[of.parts[position]];
            asked += (asked.empty() ? "" : ", ") +
                     (wanted ? input_.study.foods[*wanted].id : parts_[of.parts[position]]);
            was += (was.empty() ? "" : ", ") + input_.study.foods[food].id;
            if (!first && wanted && *wanted != food) {
                const auto at = std::find_if(of.visits->begin(), of.visits->end(),
                                             [food = food](const Ordered& o) { return o.food == food; });
                first = &*at;
                for (const Ordered& o : *of.visits) {
                    if (o.food == food && o.period == static_cast<std::int32_t>(position) + 1) {
                        first = &o;
                    }
                }
            }
        }
        if (!first) {
            return;
        }
        found_.add(Severity::warning, [&, first = first] {
            Problem p = first->withRows ? problemAt(input_, *first->withRows)
                                        : problemAtRecord(input_, *first->record);
            p.column = first->withRows ? "period" : "date";
            p.what += ": randomised to " + input_.study.subjects[of.subject].sequence + " (" + asked +
                      "), but the order of the visits was " + was;
            p.remedy =
                "check the periods or dates, the foods and the sequence against the randomisation list";
            return p;
        });
    }

    const CheckInput& input_;
    Found found_;
    std::vector<std::string> parts_;
    std::vector<std::optional<std::size_t>> foodOf_;
    std::vector<Of> subjects_;
};

std::vector<Problem> runOrder(const CheckInput& input) {
    return OrderCheck{input}.run();
}

std::vector<Problem> runDates(const CheckInput& input) {
    Found found{input, datesKey};
    for (const std::vector<Ordered>& visits : visitsBySubject(input)) {
        std::vector<Ordered> dated;
        for (const Ordered& o : visits) {
            if (o.withRows && o.record && o.record->period > 0) {
                const std::int32_t typed = input.study.draws[o.withRows->draws.front()].period;
                if (typed > 0 && typed != o.record->period) {
                    found.add(Severity::warning, [&] {
                        Problem p = problemAt(input, *o.withRows);
                        p.column = "period";
                        p.what += ": period " + std::to_string(typed) + " here, but " +
                                  std::to_string(o.record->period) + " in " + input.study.visitsFile + ":" +
                                  std::to_string(o.record->row);
                        p.remedy = "correct the one that is wrong";
                        return p;
                    });
                }
            }
            if (o.period > 0 && !o.date.empty()) {
                dated.push_back(o);
            }
        }
        std::stable_sort(dated.begin(), dated.end(),
                         [](const Ordered& a, const Ordered& b) { return a.period < b.period; });
        for (std::size_t i = 1; i < dated.size(); ++i) {
            const Ordered& a = dated[i - 1];
            const Ordered& b = dated[i];
            if (b.period > a.period && b.date < a.date) {
                found.add(Severity::warning, [&] {
                    Problem p = problemAtRecord(input, *b.record);
                    p.column = "date";
                    p.what += ": period " + std::to_string(b.period) + " on " + b.date + ", but period " +
                              std::to_string(a.period) + " (" + input.study.foods[a.food].id + ", visit " +
                              std::to_string(a.visit) + ") only on " + a.date;
                    p.remedy = "correct the date or the period";
                    return p;
                });
            }
        }
    }
    return found.take();
}

}  // namespace

Check visitOrder() {
    return {orderKey, "Visits out of the randomised order", "no limit", runOrder};
}

Check periodDates() {
    return {datesKey, "Periods and dates that contradict each other", "no limit", runDates};
}

}  // namespace aftercurve::checks
