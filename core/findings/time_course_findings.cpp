#include "core/findings/time_course_findings.h"

#include <algorithm>
#include <map>
#include <set>
#include <unordered_map>

#include "core/findings/findings.h"

namespace aftercurve {

namespace {

/// Times at which more than half of the analyte's curves that count have a value.
std::vector<double> scheduleOf(std::span<const CurveFinding* const> curves) {
    std::map<double, std::size_t> count;
    for (const CurveFinding* curve : curves) {
        for (const double time : curve->scheduledMin) {
            ++count[time];
        }
    }
    std::vector<double> times;
    for (const auto& [time, n] : count) {
        if (2 * n > curves.size()) {
            times.push_back(time);
        }
    }
    return times;
}

bool hasPeriod(std::span<const ModelFinding> models, const std::string& analyte, const std::string& measure) {
    return std::any_of(models.begin(), models.end(), [&](const ModelFinding& model) {
        return model.analyte == analyte && model.measure == measure &&
               model.formula.find(" period ") != std::string::npos;
    });
}

CurveCovariance covarianceOf(TimeCourseModel model) {
    switch (model) {
        case TimeCourseModel::independent:
            return CurveCovariance::independent;
        case TimeCourseModel::unstructured:
            return CurveCovariance::unstructured;
        case TimeCourseModel::none:
        case TimeCourseModel::ar1:
            return CurveCovariance::continuousTimeAr1;
    }
    return CurveCovariance::continuousTimeAr1;
}

/// Takes the values of the curves that stand in the schedule; the rest is counted.
TimeCourseData dataOf(const Study& study, const Plan& plan, std::span<const CurveFinding* const> curves,
                      bool periods, TimeCourseFinding& finding) {
    TimeCourseData data;
    data.foods = finding.foods;
    data.timesMin = finding.timesMin;
    std::unordered_map<std::string, std::size_t> subject;
    for (std::size_t s = 0; s < study.subjects.size(); ++s) {
        subject.emplace(study.subjects[s].id, s);
    }
    std::set<int> numbers;
    for (const CurveFinding* curve : curves) {
        numbers.insert(curve->period);
    }
    std::map<int, std::size_t> period;
    for (const int number : numbers) {
        period.emplace(number, period.size());
        if (periods) {
            data.periods.push_back(std::to_string(number));
        }
    }
    const bool increment = plan.inference.timeCourseValue == CurveValue::increment;
    for (const CurveFinding* curve : curves) {
        const std::size_t food = *findFood(study, curve->food);
        for (std::size_t i = 0; i < curve->scheduledMin.size(); ++i) {
            const double time = curve->scheduledMin[i];
            if (time > plan.windowEndMin || (increment ? time <= 0.0 : time < 0.0)) {
                continue;
            }
            const auto at = std::lower_bound(data.timesMin.begin(), data.timesMin.end(), time);
            if (at == data.timesMin.end() || *at != time) {
                ++finding.offSchedule;
                continue;
            }
            TimeCourseRow row;
            row.subject = subject.at(curve->subject);
            row.food = food;
            row.visit = static_cast<std::size_t>(curve->visit);
            row.time = static_cast<std::size_t>(at - data.timesMin.begin());
            row.value = increment ? curve->value[i] - *curve->baseline : curve->value[i];
            if (periods) {
                row.period = period.at(curve->period);
            }
            data.rows.push_back(row);
        }
    }
    return data;
}

}  // namespace

std::optional<std::vector<TimeCourseFinding>> timeCourseFindings(const Study& study, const Plan& plan,
                                                                 std::span<const CurveFinding> curves,
                                                                 std::span<const ModelFinding> models,
                                                                 const Progress& progress) {
    std::vector<TimeCourseFinding> findings;
    if (plan.inference.timeCourse == TimeCourseModel::none) {
        return findings;
    }
    const bool increment = plan.inference.timeCourseValue == CurveValue::increment;
    for (std::size_t a = 0; a < study.analytes.size(); ++a) {
        const Analyte& analyte = study.analytes[a];
        std::vector<const CurveFinding*> used;
        std::set<std::string> foods;
        for (const CurveFinding& curve : curves) {
            if (curve.analyte == analyte.id && curve.counts() && curve.baseline) {
                used.push_back(&curve);
                foods.insert(curve.food);
            }
        }
        TimeCourseFinding finding;
        for (const double time : scheduleOf(used)) {
            if (time <= plan.windowEndMin && (increment ? time > 0.0 : time >= 0.0)) {
                finding.timesMin.push_back(time);
            }
        }
        if (foods.size() < 2 || finding.timesMin.size() < 2) {
            continue;
        }
        finding.analyte = analyte.id;
        finding.unit = analyte.unit;
        finding.value = wordFor(plan.inference.timeCourseValue);
        finding.model = wordFor(plan.inference.timeCourse);
        finding.comparator = plan.comparator;
        for (const Food& food : study.foods) {
            finding.foods.push_back(food.id);
        }
        for (const Subject& subject : study.subjects) {
            finding.subjects.push_back(subject.id);
        }
        const bool periods = hasPeriod(models, analyte.id, plan.measure);
        const TimeCourseData data = dataOf(study, plan, used, periods, finding);
        TimeCourseOptions options;
        options.alpha = plan.alpha;
        options.covariance = covarianceOf(plan.inference.timeCourse);
        options.comparator = findFood(study, plan.comparator);
        options.multiplicity = wordFor(plan.multiplicity);
        const auto share = [&](double part) {
            return (static_cast<double>(a) + part) / static_cast<double>(study.analytes.size());
        };
        const Progress part = [&](double done, std::string_view stage) {
            return !progress || progress(share(done), stage);
        };
        finding.fit = timeCourse(data, options, part);
        finding.classical = repeatedMeasures(data);
        if (!periods) {
            finding.notes.emplace_back("no period in the model, as in the mixed model of the main measure");
        }
        finding.notes.insert(finding.notes.end(), finding.fit.notes.begin(), finding.fit.notes.end());
        findings.push_back(std::move(finding));
        if (!part(1.0, "time course")) {
            return std::nullopt;
        }
    }
    return findings;
}

std::vector<Problem> problemsOf(std::span<const TimeCourseFinding> findings) {
    std::vector<Problem> problems;
    for (const TimeCourseFinding& finding : findings) {
        const auto add = [&](Severity severity, const std::string& what, std::string remedy) {
            Problem p;
            p.severity = severity;
            p.analyte = finding.analyte;
            p.what = "time course of " + finding.analyte + ": " + what;
            p.remedy = std::move(remedy);
            problems.push_back(std::move(p));
        };
        if (!finding.fit.absentBecause.empty()) {
            add(Severity::warning, "no model, " + finding.fit.absentBecause,
                "choose a simpler covariance in the plan (time_course), or none");
        }
        if (finding.offSchedule > 0) {
            add(Severity::warning,
                std::to_string(finding.offSchedule) +
                    " values are at times that fewer than half of the curves have, and not in it",
                "give nominal times, so that draws a few minutes off stand at their planned time");
        }
        if (!finding.fit.boundary.empty()) {
            std::string what = "estimated as 0:";
            for (const std::string& name : finding.fit.boundary) {
                what += " " + name + (name == "rho" ? "" : " variance") +
                        (&name == &finding.fit.boundary.back() ? "" : ",");
            }
            add(Severity::note, what, "");
        }
    }
    return problems;
}

}  // namespace aftercurve
