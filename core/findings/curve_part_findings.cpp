#include "core/findings/curve_part_findings.h"

#include <cmath>

#include "core/base/number_text.h"
#include "core/findings/adjusted_p.h"
#include "core/findings/findings.h"

namespace aftercurve {

namespace {

/// Running mean of the visits of one subject.
struct VisitMean {
    double sum = 0.0;
    double n = 0.0;

    void take(const std::optional<double>& value) {
        if (value) {
            sum += *value;
            n += 1.0;
        }
    }
    std::optional<double> mean() const {
        return n > 0.0 && std::isfinite(sum) ? std::optional{sum / n} : std::nullopt;
    }
};

struct VisitMeans {
    VisitMean area;
    VisitMean increment;
};

/// By part, then food, then subject; of one analyte.
using Cells = std::vector<std::vector<std::vector<VisitMeans>>>;

Cells cellsOf(const Study& study, std::span<const CurveFinding> curves, std::span<const CurvePart> parts,
              const std::string& analyte, std::span<const double> ends) {
    Cells cells(ends.size() - 1, std::vector<std::vector<VisitMeans>>(
                                     study.foods.size(), std::vector<VisitMeans>(study.subjects.size())));
    for (const CurvePart& part : parts) {
        const CurveFinding& curve = curves[part.curve];
        if (curve.analyte != analyte) {
            continue;
        }
        const auto food = findFood(study, curve.food);
        const auto subject = findSubject(study, curve.subject);
        for (std::size_t p = 0; p + 1 < ends.size(); ++p) {
            if (ends[p] == part.fromMin) {
                VisitMeans& visits = cells[p][*food][*subject];
                visits.area.take(part.measures.area);
                visits.increment.take(part.measures.meanIncrement);
            }
        }
    }
    return cells;
}

void compare(const std::vector<VisitMeans>& food, const std::vector<VisitMeans>& comparator, double alpha,
             CurvePartFinding& finding) {
    std::vector<double> a;
    std::vector<double> b;
    for (std::size_t s = 0; s < food.size(); ++s) {
        const auto one = food[s].area.mean();
        const auto other = comparator[s].area.mean();
        if (one && other) {
            a.push_back(*one);
            b.push_back(*other);
        }
    }
    finding.difference = pairedT(pairedDifferences(a, b), alpha);
}

CurvePartFinding summarised(const std::vector<VisitMeans>& subjects, double alpha) {
    CurvePartFinding finding;
    std::vector<double> area;
    std::vector<double> increment;
    for (const VisitMeans& subject : subjects) {
        if (const auto mean = subject.area.mean()) {
            area.push_back(*mean);
        }
        if (const auto mean = subject.increment.mean()) {
            increment.push_back(*mean);
        }
    }
    finding.area = pairedT(asDifferences(area), alpha);
    finding.increment = pairedT(asDifferences(increment), alpha);
    return finding;
}

void adjust(Multiplicity rule, std::span<CurvePartFinding> family) {
    std::vector<std::optional<double>> p;
    for (const CurvePartFinding& finding : family) {
        p.push_back(finding.difference.p);
    }
    p = adjustedP(rule, p);
    for (std::size_t i = 0; i < family.size(); ++i) {
        family[i].pAdjusted = p[i];
    }
}

}  // namespace

std::string partKey(double fromMin, double toMin) {
    return plainNumber(fromMin) + "-" + plainNumber(toMin);
}

std::vector<CurvePart> curvePartsOf(const Plan& plan, std::span<const CurveFinding> curves) {
    const std::vector<double> ends = partEnds(plan.curvePlan, plan.windowEndMin);
    std::vector<CurvePart> parts;
    if (ends.size() < 3) {
        return parts;
    }
    for (std::size_t c = 0; c < curves.size(); ++c) {
        if (!curves[c].counts()) {
            continue;
        }
        for (std::size_t p = 0; p + 1 < ends.size(); ++p) {
            parts.push_back({c, ends[p], ends[p + 1], windowPart(curves[c].window, ends[p], ends[p + 1])});
        }
    }
    return parts;
}

std::vector<CurvePartFinding> curvePartFindings(const Study& study, const Plan& plan,
                                                std::span<const CurveFinding> curves,
                                                std::span<const CurvePart> parts) {
    std::vector<CurvePartFinding> findings;
    const std::vector<double> ends = partEnds(plan.curvePlan, plan.windowEndMin);
    if (ends.size() < 3) {
        return findings;
    }
    const auto comparator = findFood(study, plan.comparator);
    for (const Analyte& analyte : study.analytes) {
        const Cells cells = cellsOf(study, curves, parts, analyte.id, ends);
        const std::size_t familyStart = findings.size();
        for (std::size_t f = 0; f < study.foods.size(); ++f) {
            for (std::size_t p = 0; p + 1 < ends.size(); ++p) {
                CurvePartFinding finding = summarised(cells[p][f], plan.alpha);
                finding.analyte = analyte.id;
                finding.food = study.foods[f].id;
                finding.fromMin = ends[p];
                finding.toMin = ends[p + 1];
                if (comparator && *comparator != f) {
                    finding.comparator = plan.comparator;
                    compare(cells[p][f], cells[p][*comparator], plan.alpha, finding);
                }
                findings.push_back(std::move(finding));
            }
        }
        adjust(plan.multiplicity, std::span{findings}.subspan(familyStart));
    }
    return findings;
}

std::vector<Problem> partProblems(const Plan& plan) {
    std::vector<Problem> problems;
    for (const double limit : plan.curvePlan.subWindowsMin) {
        if (limit >= plan.windowEndMin) {
            Problem p;
            p.severity = Severity::note;
            p.file = "study.json";
            p.column = "sub_windows_min";
            p.what = "the limit " + plainNumber(limit) +
                     " min of the parts lies at or past the window's end, " + plainNumber(plan.windowEndMin) +
                     " min, and makes no part";
            problems.push_back(std::move(p));
        }
    }
    return problems;
}

}  // namespace aftercurve
