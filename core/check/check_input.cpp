#include "core/check/check_input.h"

#include <algorithm>
#include <map>
#include <numeric>
#include <tuple>

#include "core/check/unit_suspicion.h"
#include "core/study/curve_series.h"
#include "core/study/laboratory_exclusion.h"
#include "core/study/sample_values.h"
#include "core/study/units.h"

namespace aftercurve {

namespace {

using VisitKey = std::tuple<std::uint32_t, std::uint32_t, std::int32_t>;

std::vector<CheckVisit> visitsOf(const Study& study, const Plan& plan) {
    std::vector<std::uint32_t> order(study.draws.size());
    std::iota(order.begin(), order.end(), 0U);
    const auto keyOf = [&study](std::uint32_t draw) {
        const Draw& d = study.draws[draw];
        return VisitKey{d.subject, d.food, d.visit};
    };
    std::stable_sort(order.begin(), order.end(), [&](std::uint32_t a, std::uint32_t b) {
        const VisitKey x = keyOf(a);
        const VisitKey y = keyOf(b);
        return x != y ? x < y : timeOfDraw(study, plan, a) < timeOfDraw(study, plan, b);
    });
    std::map<VisitKey, std::size_t> records;
    for (std::size_t r = 0; r < study.visits.size(); ++r) {
        const VisitRecord& record = study.visits[r];
        records.emplace(VisitKey{record.subject, record.food, record.visit}, r);
    }
    std::vector<CheckVisit> visits;
    for (const std::uint32_t draw : order) {
        const Draw& d = study.draws[draw];
        if (visits.empty() || keyOf(visits.back().draws.front()) != keyOf(draw)) {
            CheckVisit visit;
            visit.subject = d.subject;
            visit.food = d.food;
            visit.visit = d.visit;
            visit.period = d.period;
            if (const auto record = records.find(keyOf(draw)); record != records.end()) {
                visit.record = record->second;
                const std::int32_t period = study.visits[record->second].period;
                visit.period = period > 0 ? period : visit.period;
            }
            visits.push_back(std::move(visit));
        }
        visits.back().draws.push_back(draw);
    }
    return visits;
}

/// Reads the values of one curve, time by time.
class Reader {
  public:
    Reader(const Study& study, const Plan& plan) : study_(study), plan_(plan) {
        samples_ = std::any_of(study.exclusions.begin(), study.exclusions.end(), [](const Exclusion& e) {
            return e.timeMin.has_value() && !isOfLaboratory(e);
        });
    }

    void read(const CheckVisit& visit, CheckCurve& curve) {
        place_.subject = visit.subject;
        place_.food = visit.food;
        place_.visit = visit.visit;
        place_.analyte = curve.analyte;
        curve.excluded = std::any_of(study_.exclusions.begin(), study_.exclusions.end(),
                                     [this](const Exclusion& e) { return excludes(e, study_, place_); });
        const std::vector<std::uint32_t>& draws = visit.draws;
        for (std::size_t first = 0; first < draws.size();) {
            const double time = timeOfDraw(study_, plan_, draws[first]);
            std::size_t last = first + 1;
            while (last < draws.size() && timeOfDraw(study_, plan_, draws[last]) == time) {
                ++last;
            }
            readTime(time, draws, first, last, curve);
            first = last;
        }
    }

  private:
    void readTime(double time, const std::vector<std::uint32_t>& draws, std::size_t first, std::size_t last,
                  CheckCurve& curve) {
        const std::vector<std::optional<double>>& column = study_.concentrations[curve.analyte];
        values_.clear();
        numbers_.clear();
        std::uint32_t source = 0;
        for (std::size_t i = first; i < last; ++i) {
            const std::uint32_t draw = draws[i];
            if (isExcluded(draw)) {
                continue;
            }
            if (column[draw]) {
                source = numbers_.empty() ? draw : source;
                values_.push_back(*column[draw]);
                numbers_.push_back(replicateOf(study_, draw));
            } else if (!study_.belowLimit.empty() && belowLimitAt(study_, draw, curve.analyte)) {
                curve.belowLimit.push_back(draw);
            }
        }
        if (numbers_.empty()) {
            return;
        }
        double value = 0.0;
        for (const double determined : values_) {
            value += determined / static_cast<double>(values_.size());
        }
        std::sort(numbers_.begin(), numbers_.end());
        if (std::adjacent_find(numbers_.begin(), numbers_.end()) != numbers_.end()) {
            curve.twoValuesAtOneTime = true;
        }
        curve.samples.push_back({time, values_.size() == 1 ? values_.front() : value, source});
    }

    bool isExcluded(std::uint32_t draw) const {
        return samples_ &&
               std::any_of(study_.exclusions.begin(), study_.exclusions.end(),
                           [&](const Exclusion& e) { return excludesSample(e, study_, place_, draw); });
    }

    const Study& study_;
    const Plan& plan_;
    bool samples_ = false;  ///< some exclusion names single samples
    CurveSeries place_;
    std::vector<double> values_;
    std::vector<std::int32_t> numbers_;
};

}  // namespace

CheckInput makeCheckInput(const Study& study, const Plan& plan) {
    CheckInput input{study, plan, visitsOf(study, plan), {}};
    for (CheckVisit& visit : input.visits) {
        visit.excluded = !study.analytes.empty();
    }
    input.curves.reserve(input.visits.size() * study.analytes.size());
    Reader reader{study, plan};
    for (std::uint32_t analyte = 0; analyte < study.analytes.size(); ++analyte) {
        for (std::uint32_t v = 0; v < input.visits.size(); ++v) {
            CheckCurve curve;
            curve.visitIndex = v;
            curve.analyte = analyte;
            reader.read(input.visits[v], curve);
            input.visits[v].excluded = input.visits[v].excluded && curve.excluded;
            input.curves.push_back(std::move(curve));
        }
    }
    suspectReversedColumns(input);
    suspectUnits(input);
    return input;
}

std::optional<double> siFactor(const Analyte& analyte) {
    const std::string_view si = siUnitOf(analyte);
    if (si.empty()) {
        return std::nullopt;
    }
    const auto factor = conversionFactor(analyte.id, analyte.unit, si);
    return factor.ok() ? std::optional{factor.value()} : std::nullopt;
}

std::string_view siUnitOf(const Analyte& analyte) {
    for (const Unit& unit : unitTable()) {
        if (unit.analyte == analyte.id) {
            return unit.unit;
        }
    }
    return {};
}

std::vector<double> fastingValues(const CheckCurve& curve) {
    std::vector<double> values;
    for (const CheckSample& sample : curve.samples) {
        if (sample.timeMin <= 0.0) {
            values.push_back(sample.value);
        }
    }
    return values;
}

std::vector<double> mealValues(const CheckCurve& curve) {
    std::vector<double> values;
    for (const CheckSample& sample : curve.samples) {
        if (sample.timeMin > 0.0) {
            values.push_back(sample.value);
        }
    }
    return values;
}

}  // namespace aftercurve
