#include <QCoreApplication>

#include "ui/window/pages/data_page.h"
#include "ui/window/statistics/laboratory_settings.h"

namespace aftercurve {

namespace {

struct DataText {
    Q_DECLARE_TR_FUNCTIONS(DataTables)
};

QString say(const char* text) {
    return DataText::tr(text);
}

}  // namespace

std::vector<DataTable> laboratoryTables() {
    return {
        {StudyTable::assaySamples, say("Samples"), say("No sample was digested"),
         say("A sample is a material that was digested in vitro: a starch, an ingredient, a food. It is "
             "declared once, with its total starch, free glucose and moisture, and kept in study.json "
             "under “assays”. Its readings come next."),
         QStringLiteral("{ \"id\": \"barley\", \"label\": \"Barley flakes\", \"total_starch_percent\": 58 }"),
         nullptr},
        {StudyTable::assays, say("Readings"), say("No readings of a digestion"),
         say("One row a reading: the sample, run and replicate, the minutes of digestion, the value and "
             "what was weighed in; a blank has no sample. They stand in assays.csv, which the first save "
             "makes where the study has none. Rows copied in a spreadsheet can be pasted, their line of "
             "names too."),
         QStringLiteral("sample,run,replicate,time_min,value,sample_mass_mg,blank\n"
                        "barley,A,1,20,105.2,500,no"),
         quantitySettings},
        {StudyTable::fibre, say("Fibre"), say("No results of fibre"),
         say("One row a determination: the material, the official method, what it gives, the replicate "
             "and the value in g per 100 g. They stand in fibre.csv, which the first save makes where the "
             "study has none."),
         QStringLiteral("material,method,fraction,replicate,value,basis,moisture_percent\n"
                        "barley bran,2009.01,total,1,21.5,as-is,9.8"),
         nullptr},
        {StudyTable::recipes, say("Recipes"), say("No recipe"),
         say("A recipe is a food as it is made: its mass after baking, its serving, and which material "
             "is to be replaced by which, in what share. It is kept in study.json under “recipes”. Its "
             "ingredients come next."),
         QStringLiteral("{ \"id\": \"dough\", \"label\": \"Crisp dough\", \"serving_g\": 30 }"), nullptr},
        {StudyTable::recipeParts, say("Ingredients"), say("No ingredient"),
         say("One row an ingredient of a recipe: its mass, and what 100 g of it hold. A mass of 0 g only "
             "says what a material holds, so that it can take another's place. They are kept in "
             "study.json with their recipe."),
         QStringLiteral("{ \"material\": \"barley flour\", \"mass_g\": 700, \"fibre_g\": 9.5 }"), nullptr}};
}

std::vector<DataTable> diaryTables() {
    return {
        {StudyTable::diaryItems, say("Items"), say("Nothing is scored"),
         say("An item is what subjects score each day, such as bloating: the ends of its scale, the score "
             "from which on a day counts as marked, and whether it counts in the composite. Items are "
             "kept in study.json under “diary”; each is a column of the diary."),
         QStringLiteral("{ \"id\": \"bloating\", \"label\": \"Bloating\", \"least\": 0, \"most\": 3 }"),
         nullptr},
        {StudyTable::diary, say("Diary"), say("No diary days"),
         say("One row a subject, food, period and day of eating it, with the dose, the scores of the "
             "items, stool form and number of stools. They stand in diary.csv, which the first save makes "
             "where the study has none. A score that was not given stays empty; it is never filled."),
         QStringLiteral("subject,food,period,day,dose_g,bloating,stool_form,stools\n"
                        "01,barley,1,1,12,0,4,1"),
         nullptr},
        {StudyTable::events, say("Adverse events"), say("No adverse event"),
         say("Something untoward that happened to a subject, whatever its cause: when, how severe, and "
             "whether the physician judged it related. A serious event needs the physician and the "
             "ethics committee, not only a row here. Events are kept in study.json under “diary”."),
         QStringLiteral("{ \"subject\": \"04\", \"food\": \"barley\", \"day\": 3, \"what\": \"headache\" }"),
         nullptr}};
}

}  // namespace aftercurve
