#pragma once

#include <optional>
#include <span>
#include <string>
#include <vector>

#include "core/base/problem.h"
#include "core/base/progress.h"
#include "core/compare/repeated_measures.h"
#include "core/compare/time_course.h"
#include "core/study/study.h"

namespace aftercurve {

struct CurveFinding;
struct ModelFinding;

/// The time course of one analyte: all foods, all times of the schedule inside the window.
struct TimeCourseFinding {
    std::string analyte;
    std::string unit;                   ///< of the values
    std::string value;                  ///< "increment", "concentration"
    std::string model;                  ///< "independent", "ar1", "unstructured"
    std::vector<std::string> foods;     ///< ids; positions are those of the fit
    std::string comparator;             ///< id; empty: none
    std::vector<double> timesMin;       ///< ascending
    std::vector<std::string> subjects;  ///< ids; positions are those of the fit
    TimeCourse fit;
    RepeatedMeasures classical;
    std::size_t offSchedule = 0;  ///< values at times that are none of the schedule's: not in the model
    std::vector<std::string> notes;
};

/// One for each analyte where two foods have values at two times of the schedule: the times at which more
/// than half of the curves have a row (commonSchedule). Increments: after 0 to the window's end, value − the
/// curve's baseline; concentrations: from 0. Curves that count, each visit a curve of its own. Period is in
/// the model where it is in the mixed model of the main measure (`models`). Empty where the plan asks for
/// none. Stopped by progress: nothing.
std::optional<std::vector<TimeCourseFinding>> timeCourseFindings(const Study& study, const Plan& plan,
                                                                 std::span<const CurveFinding> curves,
                                                                 std::span<const ModelFinding> models,
                                                                 const Progress& progress);

/// A warning where there is no fit or values are off the schedule; a note for a variance at its boundary.
std::vector<Problem> problemsOf(std::span<const TimeCourseFinding> findings);

}  // namespace aftercurve
