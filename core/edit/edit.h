#pragma once

#include <array>
#include <cstddef>
#include <cstdint>
#include <optional>
#include <string>
#include <string_view>
#include <utility>
#include <variant>
#include <vector>

#include "core/base/result.h"
#include "core/study/study.h"

namespace aftercurve {

/// The tables of a study that a person may edit.
enum class StudyTable {
    samples,
    visits,
    subjects,
    foods,
    analytes,
    assaySamples,  ///< materials that were digested in vitro
    assays,        ///< the readings of their digestions
    fibre,         ///< determinations of fibre
    recipes,
    recipeParts,  ///< the ingredients of all recipes, recipe after recipe
    diaryItems,   ///< what the diaries score; each is a column of the diary
    diary,        ///< one row a subject, food, period and day
    events,       ///< adverse events
};

/// All of them, in that order.
inline constexpr std::array allStudyTables{
    StudyTable::samples,  StudyTable::visits,       StudyTable::subjects,   StudyTable::foods,
    StudyTable::analytes, StudyTable::assaySamples, StudyTable::assays,     StudyTable::fibre,
    StudyTable::recipes,  StudyTable::recipeParts,  StudyTable::diaryItems, StudyTable::diary,
    StudyTable::events};

/// "samples", "visits", "subjects", "foods", "analytes", "assay_samples", "assays", "fibre", "recipes",
/// "recipe_parts", "diary_items", "diary", "adverse_events".
std::string_view nameOf(StudyTable table);

/// One column of such a table: the name as in the CSV file or in study.json, and what a person reads.
struct TableColumn {
    std::string name;   ///< "time_min", or the id of an analyte
    std::string label;  ///< "Time (min)", "glucose (mmol/L)"
    bool number = false;
    bool required = false;  ///< may not be left empty
};

/// Columns in their order: samples: subject, food, visit, period, time_min, nominal_min, replicate, the
/// analytes, remark; visits: subject, food, visit, period, date, meal_start, remark; subjects: subject,
/// sequence, sex, age_y, bmi_kg_m2; foods: id, label, role, available_carbohydrate_g, portion_g,
/// and the fields of the composition; analytes: id, unit, specimen; assay_samples: id, label, food,
/// reference, the shares in percent; assays: sample, run, replicate, time_min, value, sample_mass_mg, blank;
/// fibre: material, method, fraction, replicate, value, basis, moisture_percent, laboratory; recipes: id,
/// label, food, baked_mass_g, serving_g, replaced, by, replaced_share; recipe_parts: recipe, material, mass_g
/// and what 100 g hold; diary_items: id, label, least, most, composite, threshold; diary: subject, food,
/// period, day, dose_g, the items, stool_form, stools; adverse_events: subject, food, day, what, severity,
/// related, outcome, serious. A yes or no is written so.
std::vector<TableColumn> columnsOf(const Study& study, StudyTable table);

std::size_t rowCount(const Study& study, StudyTable table);

/// A cell as it is written in the files ("." as decimal mark, "" where missing, "<2" below the limit of
/// quantification), without the apostrophe that protects a text from spreadsheets. Concentrations are in the
/// analyte's unit. What cannot be used as a concentration or a reading is given as it stands (CellFlaw::text,
/// AssayReading::valueText). `row`
/// counts from 0 in the order of the Study; empty where there is no such cell.
std::string cellText(const Study& study, StudyTable table, std::size_t row, std::size_t column);

/// A change of one cell, or of one row, or of a list. Texts are read by the same rules as the files, but that
/// an apostrophe is one, and that a control character, or a value which a reader would leave out with a
/// warning, is refused. A new unit of an analyte leaves the numbers as they are.
struct SetCell {
    StudyTable table = StudyTable::samples;
    std::size_t row = 0;
    std::size_t column = 0;
    std::string text;
    /// Set in the change that takes another back: a file may name what is in no table of the study, and so
    /// may the text that stood there.
    bool takesBack = false;
};
struct InsertRow {
    StudyTable table = StudyTable::samples;
    std::size_t row = 0;             ///< the new row's position; rowCount to append; a part of a recipe comes
                                     ///< to stand as near to it as the other parts of its recipe are
    std::vector<std::string> cells;  ///< as columnsOf
    /// Where a row that was removed stood, so that putting it back finds its line of the file again. New rows
    /// leave both out: they belong to the file of the row before them. Not heeded where it does not fit.
    std::optional<std::uint32_t> file = {};  ///< index into Study::sampleFiles
    std::uint32_t line = 0;
    bool takesBack = false;  ///< as SetCell::takesBack
};
struct RemoveRow {
    StudyTable table = StudyTable::samples;
    std::size_t row = 0;
    bool takesBack = false;  ///< as SetCell::takesBack: what names the row does not keep it
};
struct SetTitle {
    std::string title;
};
struct SetPlan {
    Plan plan;
};
struct SetExclusions {
    std::vector<Exclusion> exclusions;
};
struct SetAccepted {
    std::vector<Acceptance> accepted;
};
struct SetRegistered {
    std::vector<RegisteredPlan> registered;
};
struct SetConduct {
    Conduct conduct;
};
/// The parts of a mixed meal; `food` is its row in the foods table.
struct SetParts {
    std::size_t food = 0;
    std::vector<MealPart> parts;
};
/// The figures of the manuscript, all of them.
struct SetFigures {
    std::vector<FigureSpec> figures;
};
/// How the assays are read: quantity, cut times, factor, comparison, interpolation and basis of `settings`,
/// whose file, samples and readings are not looked at. The quantity stays while a reading has a value.
struct SetAssaySettings {
    AssayData settings;
};
/// Region, target, repeatability and rules of `settings`; its file, results and recipes are not looked at.
struct SetFibreSettings {
    FibreData settings;
};
/// Planned days and the rule for missing scores of `settings`; its file, items, days and events are not
/// looked at.
struct SetDiarySettings {
    DiaryData settings;
};
using Change =
    std::variant<SetCell, InsertRow, RemoveRow, SetTitle, SetPlan, SetExclusions, SetAccepted, SetRegistered,
                 SetConduct, SetParts, SetFigures, SetAssaySettings, SetFibreSettings, SetDiarySettings>;

/// Applies a change and gives the change that takes it back. On failure the study is as before, and the
/// problem says what the cell may hold. What a change of a cell brings with it:
///  - the id of a subject, food, analyte, sample of the assays or item of the diary, and the material of a
///  part of a recipe, is renamed wherever exclusions, acceptances, figures, the plan and other tables name
///  it; it fails where one of them names the new id already;
///  - a subject, food or sample that a row names must be in its table; none is added by a change elsewhere;
///  - a cell that could not be used (Study::flaws, AssayReading::flaw) loses its flaw, or gets one where the
///  new text is no number;
///  - what the rows of another table refer to cannot be removed (exclude it instead), nor a food or a recipe
///  with parts, nor an item with scores (remove them first).
Result<Change> apply(Study& study, const Change& change);
/// The same. Without these two a change that is not const would find std::apply, since it is a std::variant.
inline Result<Change> apply(Study& study, Change& change) {
    return apply(study, std::as_const(change));
}
inline Result<Change> apply(Study& study, Change&& change) {
    return apply(study, std::as_const(change));
}

/// One line for a list of changes: "subject 03, bread, visit 1, 30 min, glucose: 71 → 7.1".
std::string describe(const Study& before, const Change& change);

}  // namespace aftercurve
