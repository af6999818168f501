#include "core/findings/recompute.h"

#include <utility>

#include "core/findings/recompute/parts.h"
#include "core/findings/recompute/script_text.h"

namespace aftercurve {

std::vector<RecomputeFile> recomputeFiles(const Study& study, const Findings& findings) {
    const StudyNumbers numbers = numbersOf(study);
    ReportedRows reported;
    for (const auto add :
         {addCurves, addMeanCurves, addSummaries, addComparisons, addAgreement, addCrossovers, addIndex,
          addIndexDetails, addModels, addSensitivity, addCompanions, addMargins, addTimeCourses, addPortions,
          addInsulin, addCurveParts, addDemographics, addDigestion}) {
        add(reported, numbers, findings);
    }
    CurveFiles curves = curveFiles(study, findings);
    AssayFiles assays = assayFiles(study);
    return {
        {"README.txt", recomputeReadme()},
        {"recompute.R", recomputeScript()},
        {"plan.csv", planFile(study, findings)},
        {"foods.csv", foodsFile(study)},
        {"index_foods.csv", indexFoodsFile(study)},
        {"meal_parts.csv", mealPartsFile(study)},
        {"analytes.csv", analytesFile(study, findings.plan)},
        {"subjects.csv", subjectsFile(study)},
        {"curves.csv", std::move(curves.curves)},
        {"samples.csv", std::move(curves.samples)},
        {"settings.csv", settingsFile(findings)},
        {"assay_settings.csv", std::move(assays.settings)},
        {"assay_samples.csv", std::move(assays.samples)},
        {"assay_readings.csv", std::move(assays.readings)},
        {"reported.csv",
         "id,table,row,analyte_no,measure,food_no,comparator_no,subject_no,visit,item,quantity,value,text,"
         "absent_because\n" +
             reported.csv}};
}

}  // namespace aftercurve
