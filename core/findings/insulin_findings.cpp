#include "core/findings/insulin_findings.h"

#include <algorithm>
#include <array>
#include <cmath>
#include <map>
#include <numeric>
#include <string_view>
#include <tuple>
#include <unordered_map>

#include "core/base/number_text.h"
#include "core/compare/descriptive.h"
#include "core/curve/measures.h"
#include "core/findings/adjusted_p.h"
#include "core/findings/findings.h"
#include "core/study/units.h"

namespace aftercurve {

namespace {

constexpr double doseG = 75.0;

/// An analyte that the measures read, and the unit that they read it in.
struct ReadAnalyte {
    InsulinAnalyte analyte;
    const char* id;
    const char* unit;
};
constexpr std::array readAnalytes{ReadAnalyte{InsulinAnalyte::glucose, "glucose", "mmol/L"},
                                  ReadAnalyte{InsulinAnalyte::insulin, "insulin", "pmol/L"},
                                  ReadAnalyte{InsulinAnalyte::cPeptide, "c-peptide", "nmol/L"}};

using VisitCurves = std::array<const CurveFinding*, readAnalytes.size()>;
/// Food, subject (places in the study), visit.
using VisitPlace = std::tuple<std::size_t, std::size_t, int>;

std::map<VisitPlace, VisitCurves> visitsOf(const Study& study, std::span<const CurveFinding> curves) {
    std::unordered_map<std::string_view, std::size_t> food;
    std::unordered_map<std::string_view, std::size_t> subject;
    for (std::size_t f = 0; f < study.foods.size(); ++f) {
        food.emplace(study.foods[f].id, f);
    }
    for (std::size_t s = 0; s < study.subjects.size(); ++s) {
        subject.emplace(study.subjects[s].id, s);
    }
    std::map<VisitPlace, VisitCurves> visits;
    for (const CurveFinding& curve : curves) {
        for (std::size_t a = 0; a < readAnalytes.size(); ++a) {
            if (curve.analyte == readAnalytes[a].id) {
                visits[{food.at(curve.food), subject.at(curve.subject), curve.visit}][a] = &curve;
            }
        }
    }
    return visits;
}

/// Factor to the unit that the measures read; nothing where the unit is not known.
using Factors = std::array<std::optional<double>, readAnalytes.size()>;

Factors factorsOf(const Study& study) {
    Factors factors;
    for (std::size_t a = 0; a < readAnalytes.size(); ++a) {
        const auto place = findAnalyte(study, readAnalytes[a].id);
        if (!place) {
            continue;
        }
        const auto factor =
            conversionFactor(readAnalytes[a].id, study.analytes[*place].unit, readAnalytes[a].unit,
                             {.insulinPmolPerUiu = study.insulinPmolPerUiu});
        if (factor.ok()) {
            factors[a] = factor.value();
        }
    }
    return factors;
}

std::optional<double> scaledBy(const std::optional<double>& value, double factor) {
    return value ? std::optional{*value * factor} : std::nullopt;
}

InsulinCurve inputCurve(const CurveFinding* curve, const std::optional<double>& factor, const char* analyte) {
    static const std::size_t total = *measureIndex("area_total");
    static const std::size_t incremental = *measureIndex("area_positive_incremental");
    InsulinCurve input;
    if (curve == nullptr) {
        input.absentBecause = std::string{"no "} + analyte + " in this visit";
    } else if (curve->excluded) {
        input.absentBecause = std::string{analyte} + " excluded: " + curve->excludedBecause;
    } else if (!curve->notEstimable.empty()) {
        input.absentBecause = std::string{analyte} + " not estimable: " + curve->notEstimable;
    } else if (!factor) {
        input.absentBecause = std::string{"the unit of "} + analyte + " is not known";
    } else {
        input.fasting = scaledBy(curve->baseline, *factor);
        input.timeMin = curve->scheduledMin;
        input.value = curve->value;
        for (double& value : input.value) {
            value *= *factor;
        }
        input.areaTotal = scaledBy(curve->measures[total], *factor);
        input.areaIncremental = scaledBy(curve->measures[incremental], *factor);
    }
    return input;
}

/// What the drink holds beside the 75 g that a measure was derived for; empty where it holds them.
std::string doseRemark(const Food& food) {
    const std::string derived = "derived for a drink of 75 g glucose; ";
    if (!food.availableCarbohydrateG) {
        return derived + "the available carbohydrate of this food is not given";
    }
    return *food.availableCarbohydrateG == doseG
               ? std::string{}
               : derived + "this food holds " + plainNumber(*food.availableCarbohydrateG) +
                     " g of available carbohydrate";
}

bool isListed(const Study& study, const InsulinMeasureKind& kind) {
    return std::all_of(readAnalytes.begin(), readAnalytes.end(), [&](const ReadAnalyte& analyte) {
        return !readsAnalyte(kind, analyte.analyte) || findAnalyte(study, analyte.id);
    });
}

InsulinMeasure measured(const Study& study, const InsulinMeasureKind& kind, const VisitPlace& place,
                        const InsulinVisit& visit, const VisitCurves& curves) {
    const Food& food = study.foods[std::get<0>(place)];
    InsulinReading reading = insulinReading(kind, visit);
    InsulinMeasure measure;
    measure.subject = study.subjects[std::get<1>(place)].id;
    measure.food = food.id;
    measure.visit = std::get<2>(place);
    measure.key = kind.key;
    measure.value = reading.value;
    measure.absentBecause = std::move(reading.absentBecause);
    measure.inputs = reading.inputs;
    measure.outside = reading.remark;
    if (measure.value && kind.referenceOnly) {
        measure.dose = doseRemark(food);
    }
    for (const CurveFinding* curve : curves) {
        if (curve != nullptr && measure.row == 0) {
            measure.file = curve->file;
            measure.row = curve->row;
        }
    }
    return measure;
}

/// Each subject's mean over the visits of one food; `rows` are those of one measure and food.
std::vector<InsulinSubject> subjectsOf(const Study& study, const Food& food,
                                       std::span<const InsulinMeasure> rows) {
    std::vector<InsulinSubject> subjects(study.subjects.size());
    std::size_t next = 0;
    for (std::size_t s = 0; s < study.subjects.size(); ++s) {
        InsulinSubject& subject = subjects[s];
        subject.subject = study.subjects[s].id;
        subject.absentBecause = "no visit with " + food.id;
        std::vector<double> values;
        for (; next < rows.size() && rows[next].subject == subject.subject; ++next) {
            if (rows[next].value) {
                values.push_back(*rows[next].value);
            } else {
                subject.absentBecause = rows[next].absentBecause;
            }
        }
        if (values.empty()) {
            continue;
        }
        const double mean =
            std::accumulate(values.begin(), values.end(), 0.0) / static_cast<double>(values.size());
        if (std::isfinite(mean)) {
            subject.value = mean;
            subject.absentBecause.clear();
        } else {
            subject.absentBecause = "the mean over the visits is too large to be represented";
        }
    }
    return subjects;
}

void addGeometric(InsulinSummary& summary, std::span<const double> values, bool logarithm) {
    if (logarithm || std::any_of(values.begin(), values.end(), [](double x) { return x <= 0.0; })) {
        summary.geometricAbsentBecause = logarithm ? "no geometric mean: the values are logarithms"
                                                   : "no geometric mean: not all values are above 0";
        return;
    }
    std::vector<double> logs;
    for (const double value : values) {
        logs.push_back(std::log(value));
    }
    const auto finite = [](double x) { return std::isfinite(x) ? std::optional{x} : std::nullopt; };
    if (const auto centre = mean(logs)) {
        summary.geometricMean = finite(std::exp(*centre));
    }
    if (const auto spread = sampleSd(logs)) {
        summary.geometricCvPercent = finite(100.0 * std::sqrt(std::expm1(*spread * *spread)));
        if (!summary.geometricCvPercent) {
            summary.geometricAbsentBecause = "the CV of the logarithms is too large to be represented";
        }
    }
}

InsulinSummary summaryOf(const Study& study, const Plan& plan, const InsulinMeasureKind& kind,
                         const Food& food, std::span<const InsulinMeasure> rows) {
    InsulinSummary summary;
    summary.food = food.id;
    summary.key = kind.key;
    summary.subjects = subjectsOf(study, food, rows);
    std::vector<double> values;
    for (const InsulinSubject& subject : summary.subjects) {
        if (subject.value) {
            values.push_back(*subject.value);
        }
    }
    summary.n = values.size();
    if (values.empty()) {
        summary.absentBecause = kind.referenceOnly && food.role != FoodRole::reference
                                    ? "derived for a drink of glucose, and this food is not the reference"
                                    : "no subject has a value";
        return summary;
    }
    const PairedT own = pairedT(asDifferences(values), plan.alpha);
    summary.mean = own.meanDifference;
    summary.sd = own.sdDifference;
    summary.sem = own.semDifference;
    summary.ciLow = own.ciLow;
    summary.ciHigh = own.ciHigh;
    summary.median = median(values);
    summary.lowerQuartile = quantile7(values, 0.25);
    summary.upperQuartile = quantile7(values, 0.75);
    if (values.size() == 1) {
        summary.absentBecause = "one subject has no spread";
    } else if (!summary.ciLow) {
        summary.absentBecause =
            own.sdDifference == 0.0 ? "all values are equal, which leaves no interval" : own.absentBecause;
    }
    addGeometric(summary, values, kind.logarithm);
    return summary;
}

void compare(const Plan& plan, std::span<InsulinSummary> family) {
    const auto against = std::find_if(family.begin(), family.end(), [&plan](const InsulinSummary& summary) {
        return summary.food == plan.comparator;
    });
    std::vector<std::optional<double>> p(family.size());
    for (std::size_t f = 0; f < family.size(); ++f) {
        InsulinSummary& summary = family[f];
        if (against == family.end() || summary.food == plan.comparator) {
            summary.comparisonAbsentBecause = against == family.end()
                                                  ? "the plan has no comparator"
                                                  : "the comparator is not compared with itself";
            continue;
        }
        summary.comparator = plan.comparator;
        std::vector<double> a;
        std::vector<double> b;
        for (std::size_t s = 0; s < summary.subjects.size(); ++s) {
            if (summary.subjects[s].value && against->subjects[s].value) {
                a.push_back(*summary.subjects[s].value);
                b.push_back(*against->subjects[s].value);
            }
        }
        const Differences differences = pairedDifferences(a, b);
        summary.t = pairedT(differences, plan.alpha);
        summary.signedRank = signedRank(differences);
        summary.comparisonAbsentBecause =
            a.empty() ? "no subject has a value with both foods" : summary.t.absentBecause;
        p[f] = summary.t.p;
    }
    p = adjustedP(plan.multiplicity, p);
    for (std::size_t f = 0; f < family.size(); ++f) {
        family[f].pAdjusted = p[f];
    }
}

}  // namespace

InsulinFindings insulinFindings(const Study& study, const Plan& plan, std::span<const CurveFinding> curves) {
    InsulinFindings findings;
    const auto kinds = insulinMeasureList();
    if (std::none_of(kinds.begin(), kinds.end(),
                     [&study](const InsulinMeasureKind& kind) { return isListed(study, kind); })) {
        return findings;
    }
    struct Visit {
        VisitPlace place;
        VisitCurves curves;
        InsulinVisit input;
    };
    std::vector<Visit> visits;
    const Factors factors = factorsOf(study);
    const double mgPerMmol = conversionFactor("glucose", "mmol/L", "mg/dL").value();
    for (const auto& [place, of] : visitsOf(study, curves)) {
        Visit visit{place, of, {}};
        visit.input.glucose = inputCurve(of[0], factors[0], "glucose");
        visit.input.insulin = inputCurve(of[1], factors[1], "insulin");
        visit.input.cPeptide = inputCurve(of[2], factors[2], "C-peptide");
        visit.input.isReference = study.foods[std::get<0>(place)].role == FoodRole::reference;
        visit.input.pmolPerUiu = study.insulinPmolPerUiu;
        visit.input.mgPerMmol = mgPerMmol;
        visits.push_back(std::move(visit));
    }
    for (const InsulinMeasureKind& kind : kinds) {
        if (!isListed(study, kind)) {
            continue;
        }
        const std::size_t familyStart = findings.summaries.size();
        auto visit = visits.begin();
        for (std::size_t f = 0; f < study.foods.size(); ++f) {
            const std::size_t start = findings.measures.size();
            for (; visit != visits.end() && std::get<0>(visit->place) == f; ++visit) {
                findings.measures.push_back(measured(study, kind, visit->place, visit->input, visit->curves));
            }
            findings.summaries.push_back(
                summaryOf(study, plan, kind, study.foods[f], std::span{findings.measures}.subspan(start)));
        }
        compare(plan, std::span{findings.summaries}.subspan(familyStart));
    }
    return findings;
}

}  // namespace aftercurve
