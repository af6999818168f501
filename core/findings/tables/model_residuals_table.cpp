#include "core/findings/tables/builders.h"
#include "core/findings/tables/cells.h"

namespace aftercurve {

Table modelResidualsTable(const Study& study, const Findings& findings) {
    Table table;
    table.key = "model_residuals";
    table.title = "Residuals of the mixed model";
    table.emptyText = "No model, so there are no residuals.";
    table.columns = {
        textColumn("analyte", "Analyte"),
        textColumn("measure", "Measure"),
        textColumn("unit", "Unit"),
        textColumn("of", "Of", "A value, or the effect of a subject"),
        textColumn("subject", "Subject"),
        textColumn("food", "Food"),
        numberColumn("period", "Period", "", 0),
        numberColumn("fitted", "Fitted", "", 2, "Mean of the model + effect of the subject"),
        numberColumn("residual", "Residual", "", 2,
                     "Value − fitted; of a subject: its predicted effect (BLUP)"),
        numberColumn("scaled", "In residual SD", "", 2, "Residual / √(residual variance)", {"residual"}),
        numberColumn("normal_quantile", "Normal quantile", "", 3,
                     "Φ⁻¹((rank − 3/8)/(n + 1/4)) among the values, or among the subjects (Blom)")};
    for (const ModelFinding& model : findings.models) {
        const ModelResiduals& found = model.residuals;
        const auto begin = [&](const std::string& key, const std::string& of) {
            Row row;
            row.key = model.analyte + "/" + model.measure + "/" + key;
            row.about = {model.analyte, model.measure, "", ""};
            row.cells = {model.analyte, measureLabel(model.measure), model.unit, of};
            return row;
        };
        const auto normal = normalByIndex(found.residualQuantiles, found.residuals.size());
        for (std::size_t i = 0; i < found.residuals.size(); ++i) {
            const ModelResidual& residual = found.residuals[i];
            const ModelRowSource& source = model.rows[residual.row];
            Row row = begin("row/" + std::to_string(i), "value");
            row.about.food = source.food;
            row.about.subject = source.subject;
            row.cells.insert(
                row.cells.end(),
                {Cell{source.subject}, Cell{labelOf(study, source.food)},
                 source.period > 0 ? Cell{static_cast<double>(source.period)} : Cell{}, Cell{residual.fitted},
                 Cell{residual.residual}, cellOf(residual.scaled), cellOf(normal[i])});
            table.rows.push_back(std::move(row));
        }
        const auto ofSubjects = normalByIndex(found.subjectQuantiles, found.subjects.size());
        for (std::size_t s = 0; s < found.subjects.size(); ++s) {
            const std::string& id = model.subjects[found.subjects[s].subject];
            Row row = begin("subject/" + id, "subject");
            row.about.subject = id;
            row.cells.insert(row.cells.end(),
                             {Cell{id}, Cell{}, Cell{}, Cell{}, Cell{found.subjects[s].effect}, Cell{},
                              cellOf(ofSubjects[s])});
            table.rows.push_back(std::move(row));
        }
    }
    if (!table.rows.empty()) {
        table.notes = {
            "Read the two figures: a fan or a bend over the fitted values tells of a variance or a mean "
            "that the model misses. Residuals of one model are correlated, so no test of them is made."};
    }
    return table;
}

}  // namespace aftercurve
