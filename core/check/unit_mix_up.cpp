// Numbers that stand in another unit than the study says: everything, a file, a subject or a visit.
#include <algorithm>
#include <map>
#include <span>

#include "core/check/checks.h"
#include "core/check/found.h"
#include "core/check/unit_suspicion.h"
#include "core/compare/descriptive.h"

namespace aftercurve::checks {

namespace {

constexpr std::string_view key = "unit-mix-up";
constexpr std::size_t leastCurvesForAnalyte = 3;  ///< where the units differ less than tenfold
constexpr double tenfold = 10.0;

/// Curves of one group (a file, a subject): how many there are and how many look like which unit.
struct Group {
    std::size_t curves = 0;
    std::map<std::string_view, std::size_t> like;

    /// The unit that every one of its curves looks like; a group of one says no more than its curve.
    std::string_view unit() const {
        return curves >= 2 && like.size() == 1 && like.begin()->second == curves ? like.begin()->first
                                                                                 : std::string_view{};
    }
};

std::string saying(const Analyte& analyte, std::string_view unit, double level) {
    return "level before the meal " + amount(level, analyte.unit) + ", which looks like " +
           amount(level, unit) + ", as if typed in " + std::string{unit};
}

constexpr const char* remedy =
    "compare with the laboratory's file; give the unit in the column header, or convert the values";

class Search {
  public:
    Search(const CheckInput& input, Found& found, std::span<const CheckCurve> curves)
        : input_(input), found_(found), analyte_(input.analyteOf(curves.front())) {
        for (const CheckCurve& curve : curves) {
            if (CheckInput::looksAt(curve) && !input.visitOf(curve).looksReversed && levelOf(curve)) {
                used_.push_back(&curve);
            }
        }
    }

    void run() {
        if (used_.empty() || wholeAnalyte()) {
            return;
        }
        groups(byFile_, [this](const CheckCurve& c) { return fileOf(c); });
        groups(bySubject_, [this](const CheckCurve& c) { return input_.visitOf(c).subject; });
        const bool severalFiles = byFile_.size() > 1;
        for (const auto& [file, group] : byFile_) {
            if (severalFiles && !group.unit().empty()) {
                report(
                    group.unit(), [&, file = file](const CheckCurve& c) { return fileOf(c) == file; },
                    [&, file = file](Problem& p) {
                        p = Problem{};
                        p.file = input_.study.sampleFiles[file];
                        p.what = p.file;
                    });
            }
        }
        for (const auto& [subject, group] : bySubject_) {
            if (!group.unit().empty()) {
                const auto ofSubject = [&, subject = subject](const CheckCurve& c) {
                    return input_.visitOf(c).subject == subject && !told(c);
                };
                if (std::any_of(used_.begin(), used_.end(), [&](auto* c) { return ofSubject(*c); })) {
                    report(group.unit(), ofSubject, [](Problem& p) {
                        p.food.clear();
                        p.visit = 0;
                        p.what = "subject " + p.subject + ", all visits";
                    });
                }
            }
        }
        for (const CheckCurve* curve : used_) {
            if (!curve->looksLikeUnit.empty() && !told(*curve) &&
                bySubject_[input_.visitOf(*curve).subject].unit().empty()) {
                found_.add(Severity::warning, [&] {
                    Problem p = problemAt(input_, *curve);
                    p.what += ": " + saying(analyte_, curve->looksLikeUnit, *levelOf(*curve));
                    p.remedy = remedy;
                    return p;
                });
            }
        }
    }

  private:
    std::uint32_t fileOf(const CheckCurve& curve) const {
        return input_.study.draws[curve.samples.front().draw].file;
    }

    /// Whether the curve's file was reported as a whole.
    bool told(const CheckCurve& curve) {
        return byFile_.size() > 1 && !byFile_[fileOf(curve)].unit().empty();
    }

    template <class Of>
    void groups(std::map<std::uint32_t, Group>& into, Of of) {
        for (const CheckCurve* curve : used_) {
            Group& group = into[of(*curve)];
            ++group.curves;
            if (!curve->looksLikeUnit.empty()) {
                ++group.like[curve->looksLikeUnit];
            } else {
                ++group.like[analyte_.unit];
            }
        }
        for (auto& [id, group] : into) {
            if (group.like.contains(analyte_.unit)) {
                group.like.clear();
            }
        }
    }

    bool wholeAnalyte() {
        std::vector<double> levels;
        std::size_t like = 0;
        for (const CheckCurve* curve : used_) {
            levels.push_back(*levelOf(*curve));
            like += static_cast<std::size_t>(!curve->looksLikeUnit.empty());
        }
        const double level = *median(levels);
        const std::string_view unit = unitThatFits(analyte_, level);
        if (unit.empty()) {
            return false;
        }
        const bool plain = 5 * like >= 4 * used_.size();  // at least 80 % of the curves, each by itself
        if (!plain && (levels.size() < leastCurvesForAnalyte || foldOf(unit) >= tenfold)) {
            return false;
        }
        found_.add(Severity::warning, [&] {
            Problem p;
            const Problem place = problemAt(input_, *used_.front());
            p.file = place.file;
            p.row = place.row;
            p.column = analyte_.id;
            p.analyte = analyte_.id;
            p.what = analyte_.id + ", the whole study: median " + saying(analyte_, unit, level);
            p.remedy = remedy;
            return p;
        });
        return true;
    }

    double foldOf(std::string_view unit) const {
        const Analyte other{analyte_.id, std::string{unit}, ""};
        const double ratio = *siFactor(analyte_) / *siFactor(other);
        return std::max(ratio, 1.0 / ratio);
    }

    template <class Member, class Rename>
    void report(std::string_view unit, Member member, Rename rename) {
        std::vector<double> levels;
        const CheckCurve* first = nullptr;
        for (const CheckCurve* curve : used_) {
            if (member(*curve)) {
                levels.push_back(*levelOf(*curve));
                first = first ? first : curve;
            }
        }
        found_.add(Severity::warning, [&] {
            Problem p = problemAt(input_, *first);
            const std::size_t row = p.row;
            rename(p);
            p.row = row;
            p.column = analyte_.id;
            p.analyte = analyte_.id;
            p.what += ", " + analyte_.id + ": median " + saying(analyte_, unit, *median(levels));
            p.remedy = remedy;
            return p;
        });
    }

    const CheckInput& input_;
    Found& found_;
    const Analyte& analyte_;
    std::vector<const CheckCurve*> used_;
    std::map<std::uint32_t, Group> byFile_;
    std::map<std::uint32_t, Group> bySubject_;
};

std::vector<Problem> run(const CheckInput& input) {
    Found found{input, key};
    for (std::size_t first = 0; first < input.curves.size();) {
        std::size_t last = first;
        while (last < input.curves.size() && input.curves[last].analyte == input.curves[first].analyte) {
            ++last;
        }
        if (levelRangeOf(input.analyteOf(input.curves[first]).id) &&
            siFactor(input.analyteOf(input.curves[first]))) {
            Search{input, found, std::span{input.curves}.subspan(first, last - first)}.run();
        }
        first = last;
    }
    return found.take();
}

}  // namespace

Check unitMixUp() {
    return {
        key, "Values in another unit",
        "fasting levels of healthy people, widened (core/check/unit_suspicion.h): common practice, no source",
        run};
}

}  // namespace aftercurve::checks
