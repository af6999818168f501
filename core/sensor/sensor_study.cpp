#include "core/sensor/sensor_study.h"

#include <algorithm>

#include "core/base/number_text.h"
#include "core/files/excerpt.h"
#include "core/files/id_index.h"
#include "core/files/problem_list.h"
#include "core/sensor/sensor_clock.h"

namespace aftercurve {

namespace {

std::string smoothingText(const SensorSmoothingOptions& smoothing) {
    switch (smoothing.kind) {
        case SensorSmoothing::none:
            return "not smoothed";
        case SensorSmoothing::median:
            return "running median of " + std::to_string(smoothing.readings) + " readings";
        case SensorSmoothing::line:
            return "local line with a bandwidth of " + plainNumber(smoothing.bandwidthMin) + " min";
    }
    return {};
}

std::uint32_t foodAt(Study& study, IdIndex& index, const std::string& id, const std::string& reference) {
    if (const auto found = index.find(id)) {
        return *found;
    }
    const auto position = static_cast<std::uint32_t>(study.foods.size());
    index.add(id, position);
    Food food;
    food.id = id;
    food.label = id;
    food.role = id == reference ? FoodRole::reference : FoodRole::test;
    study.foods.push_back(std::move(food));
    return position;
}

std::uint32_t subjectIn(Study& study, IdIndex& index, const std::string& id) {
    if (const auto found = index.find(id)) {
        return *found;
    }
    const auto position = static_cast<std::uint32_t>(study.subjects.size());
    index.add(id, position);
    Subject subject;
    subject.id = id;
    study.subjects.push_back(std::move(subject));
    return position;
}

}  // namespace

std::string remarkOf(const SensorCurve& curve, const SensorCutOptions& cut) {
    std::string text = "sensor readings, " + smoothingText(cut.smoothing) + "; coverage " +
                       fixedNumber(curve.coveragePercent, 1) + " %";
    if (curve.shortened) {
        text += "; cut at " + plainNumber(curve.endMin) + " min, next meal";
    }
    if (curve.longestGapMin > 0.0) {
        text += "; gap of " + fixedNumber(curve.longestGapMin, 1) + " min";
    }
    if (curve.earlierMealMin) {
        text += "; earlier meal " + plainNumber(*curve.earlierMealMin) + " min before";
    }
    if (curve.belowRange > 0) {
        text += "; below range " + std::to_string(curve.belowRange);
    }
    if (curve.aboveRange > 0) {
        text += "; above range " + std::to_string(curve.aboveRange);
    }
    return text;
}

Result<Study> studyOfSensorCurves(const SensorCurves& curves, const SensorCutOptions& cut,
                                  const SensorStudyOptions& options) {
    if (curves.used == 0) {
        return problemAt({}, 0, {}, "no curve can be used, so there is no study",
                         "see what was said of each meal");
    }
    Study study;
    study.title = options.title.empty() ? "Curves cut from sensor readings" : options.title;
    study.analytes.push_back({"glucose", curves.unit, "interstitial fluid, sensor"});
    study.concentrations.emplace_back();
    study.sampleFiles = {options.samplesFile};
    study.visitsFile = options.visitsFile;
    study.plan.windowEndMin = std::min(study.plan.windowEndMin, cut.afterMin);
    IdIndex foods;
    IdIndex subjects;
    for (const SensorCurve& curve : curves.curves) {
        if (!curve.isUsed()) {
            continue;
        }
        Draw draw;
        draw.subject = subjectIn(study, subjects, curve.mark.subject);
        draw.food = foodAt(study, foods, curve.mark.food, options.reference);
        draw.visit = curve.mark.visit;
        for (const SensorCurvePoint& point : curve.points) {
            draw.timeMin = point.timeMin;
            draw.row = static_cast<std::uint32_t>(study.draws.size() + 2);
            study.draws.push_back(draw);
            study.concentrations[0].emplace_back(point.value);
        }
        VisitRecord visit;
        visit.subject = draw.subject;
        visit.food = draw.food;
        visit.visit = draw.visit;
        visit.date = sensorDateText(curve.mark.second);
        visit.mealStart = sensorTimeOfDayText(curve.mark.second);
        visit.remark = remarkOf(curve, cut);
        visit.row = static_cast<std::uint32_t>(study.visits.size() + 2);
        study.visits.push_back(std::move(visit));
    }
    if (!options.reference.empty() && !foods.find(options.reference)) {
        return problemAt({}, 0, {},
                         "no curve that can be used is of the reference food " + quote(options.reference),
                         "name a food of the meals, as it is written there");
    }
    return study;
}

}  // namespace aftercurve
