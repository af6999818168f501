#include "core/findings/recompute.h"

#include <utility>

#include "core/findings/recompute/parts.h"
#include "core/findings/recompute/script_text.h"

namespace aftercurve {

std::vector<RecomputeFile> recomputeFiles(const Study& study, const Findings& findings) {
    const StudyNumbers numbers = numbersOf(study);
    ReportedRows reported;
    for (const auto add :
         {addCurves,      addMeanCurves,   addSummaries, addComparisons, addAgreement,    addCrossovers,
          addIndex,       addIndexDetails, addModels,    addSensitivity, addCompanions,   addMargins,
          addTimeCourses, addPortions,     addInsulin,   addCurveParts,  addDemographics, addDigestion,
          addFibre,       addTolerance,    addBridge}) {
        add(reported, numbers, findings);
    }
    CurveFiles curves = curveFiles(study, findings);
    AssayFiles assays = assayFiles(study);
    FibreFiles fibre = fibreFiles(study, findings);
    DiaryFiles diary = diaryFiles(study);
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
        {"fibre_settings.csv", std::move(fibre.settings)},
        {"fibre_rule.csv", std::move(fibre.rule)},
        {"fibre_methods.csv", std::move(fibre.methods)},
        {"fibre_results.csv", std::move(fibre.results)},
        {"recipes.csv", std::move(fibre.recipes)},
        {"recipe_parts.csv", std::move(fibre.parts)},
        {"diary_settings.csv", std::move(diary.settings)},
        {"diary_items.csv", std::move(diary.items)},
        {"diary_days.csv", std::move(diary.days)},
        {"diary_excluded.csv", std::move(diary.excluded)},
        {"adverse_events.csv", std::move(diary.events)},
        {"reported.csv",
         "id,table,row,analyte_no,measure,food_no,comparator_no,subject_no,visit,item,quantity,value,text,"
         "absent_because\n" +
             reported.csv}};
}

}  // namespace aftercurve
