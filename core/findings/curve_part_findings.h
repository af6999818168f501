#pragma once

#include <cstddef>
#include <optional>
#include <span>
#include <string>
#include <vector>

#include "core/base/problem.h"
#include "core/compare/paired_t.h"
#include "core/compare/within_subject.h"
#include "core/curve/window_part.h"
#include "core/study/study.h"

namespace aftercurve {

struct CurveFinding;

/// One part of the window of one curve that counts.
struct CurvePart {
    std::size_t curve = 0;  ///< position in Findings::curves
    double fromMin = 0.0;
    double toMin = 0.0;
    WindowPartMeasures measures;
};

/// One part of the window over the subjects of a food, and against the comparator. Visits of a subject are
/// averaged first.
struct CurvePartFinding {
    std::string analyte;
    std::string food;
    std::string comparator;  ///< empty: none, or this food is the comparator
    double fromMin = 0.0;
    double toMin = 0.0;
    PairedT area;        ///< "difference" is the positive incremental area itself: n, mean, SD over subjects
    PairedT increment;   ///< likewise the mean increment, with its interval
    PairedT difference;  ///< of the positive incremental area, food − comparator
    std::optional<double> pAdjusted;  ///< of difference.p, over the foods and parts of the analyte
};

/// One visit of a subject that counts.
struct SubjectVisit {
    std::string subject;
    int visit = 1;
    double value = 0.0;
    double subjectMean = 0.0;
    bool repeated = false;  ///< the subject has two visits or more
};

/// How far repeated visits of the same subject and food lie apart, for one measure.
struct WithinSubjectFinding {
    std::string analyte;
    std::string food;
    std::string measure;
    std::string unit;  ///< of the measure
    WithinSubject result;
    std::vector<SubjectVisit> visits;  ///< by subject and visit; empty where no subject has two
};

/// "0-60".
std::string partKey(double fromMin, double toMin);

/// The parts of the window that the plan's limits make (partEnds), of every curve that counts: by curve and
/// part. Empty where no limit lies inside the window: the only part would be the window itself.
std::vector<CurvePart> curvePartsOf(const Plan& plan, std::span<const CurveFinding> curves);

/// By analyte, food and part. p is adjusted over the foods and parts of one analyte as the plan says.
std::vector<CurvePartFinding> curvePartFindings(const Study& study, const Plan& plan,
                                                std::span<const CurveFinding> curves,
                                                std::span<const CurvePart> parts);

/// By analyte, food and compared measure, where a visit counts.
std::vector<WithinSubjectFinding> withinSubjectFindings(const Study& study, const Plan& plan,
                                                        std::span<const CurveFinding> curves);

/// A note for each limit of the parts that lies at or past the window's end.
std::vector<Problem> partProblems(const Plan& plan);

/// One part of one food against the comparator: mean difference with interval, t, p and adjusted p, or why
/// there is no test.
std::string partSentence(const Study& study, const Plan& plan, const CurvePartFinding& finding);

/// Spread within a subject: SD, CV, repeatability limit and what they rest on.
std::string withinSubjectSentence(const Study& study, const WithinSubjectFinding& finding);

}  // namespace aftercurve
