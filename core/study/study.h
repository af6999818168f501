#pragma once

#include <cstdint>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "core/figure/figure_spec.h"
#include "core/study/assay_data.h"
#include "core/study/conduct.h"
#include "core/study/diary_data.h"
#include "core/study/fibre_data.h"
#include "core/study/food_facts.h"
#include "core/study/plan.h"

namespace aftercurve {

enum class FoodRole { reference, control, test };

std::string_view wordFor(FoodRole role);
std::optional<FoodRole> foodRoleFrom(std::string_view word);

struct Food {
    std::string id;     ///< as in the samples file; unique
    std::string label;  ///< for figures and tables; the id where study.json gives none
    FoodRole role = FoodRole::test;
    std::optional<double> availableCarbohydrateG;
    std::optional<double> portionG;    ///< of one visit, as eaten
    FoodComposition composition = {};  ///< of that portion
    std::vector<MealPart> parts = {};  ///< of a mixed meal; empty: none are named

    bool operator==(const Food&) const = default;
};

struct Analyte {
    std::string id;    ///< column name in the samples file: glucose, insulin, c-peptide, triglycerides, ...
    std::string unit;  ///< unit of every concentration of this analyte in the Study and in the results
    std::string specimen;  ///< free text, e.g. "capillary plasma"

    bool operator==(const Analyte&) const = default;
};

struct Subject {
    std::string id;
    std::string sequence;  ///< order of foods as randomised, e.g. "AB"; empty where not given
    std::string sex;
    std::optional<double> ageY;
    std::optional<double> bmiKgM2;

    bool operator==(const Subject&) const = default;
};

/// One blood draw: one row of a samples file. Its concentrations stand in Study::concentrations.
struct Draw {
    std::uint32_t subject = 0;  ///< index into Study::subjects
    std::uint32_t food = 0;     ///< index into Study::foods
    std::int32_t visit = 1;
    std::int32_t period = 0;  ///< 0: not given
    double timeMin = 0.0;     ///< min from the first bite, as drawn; fasting draws are at or below 0
    std::uint32_t file = 0;   ///< index into Study::sampleFiles
    std::uint32_t row = 0;    ///< line in that file, the header being line 1

    bool operator==(const Draw&) const = default;
};

/// A concentration cell that stands in the file but cannot be used; its curve is not estimable.
struct CellFlaw {
    std::uint32_t draw = 0;
    std::uint32_t analyte = 0;
    std::string reason;     ///< e.g. "'5,4' is written with a decimal comma"
    std::string text = {};  ///< what stands in the cell, at most 400 bytes: "5,4"

    bool operator==(const CellFlaw&) const = default;
};

/// A concentration below the limit of quantification ("<2.0"). Its place in Study::concentrations is empty;
/// what stands for it is the plan's choice (Plan::belowLimit).
struct BelowLimit {
    std::uint32_t draw = 0;
    std::uint32_t analyte = 0;
    double limit = 0.0;  ///< in Analyte::unit

    bool operator==(const BelowLimit&) const = default;
};

/// What the laboratory or the ward wrote beside a draw: "insulin diluted 1:2", "haemolysed".
struct DrawRemark {
    std::uint32_t draw = 0;
    std::string text;

    bool operator==(const DrawRemark&) const = default;
};

/// One visit of one subject, from the visits file.
struct VisitRecord {
    std::uint32_t subject = 0;
    std::uint32_t food = 0;
    std::int32_t visit = 1;
    std::int32_t period = 0;  ///< 0: not given
    std::string date;         ///< ISO 8601 date; empty where not given
    std::string mealStart;    ///< clock time of the first bite, HH:MM or HH:MM:SS; empty where not given
    std::string remark;
    std::uint32_t row = 0;  ///< line in the visits file

    bool operator==(const VisitRecord&) const = default;
};

/// A warning that a person has looked at and lets stand. It stays in the list, marked, with the reason. A
/// field left empty matches all.
struct Acceptance {
    std::string check;  ///< Problem::check
    std::string subject;
    std::string food;
    std::optional<int> visit;
    std::string analyte;
    std::optional<double> timeMin;
    std::string because;
    std::string by;
    std::string on;  ///< ISO 8601 date

    bool operator==(const Acceptance&) const = default;
};

/// Takes out of every comparison, index and mean what it matches; the values stay in the tables.
/// A field left empty matches all, so {subject "07"} takes out the whole subject. With a time it takes out
/// single samples: they count as missing, and the rest of the curve stays.
/// One that names a material, run, method or replicate is of the laboratory (laboratory_exclusion.h): it
/// takes out digestions or results of fibre and nothing of a subject.
struct Exclusion {
    std::string subject;
    std::string food;
    std::optional<int> visit;
    std::string analyte;
    std::string reason;
    std::string by;
    std::string on;                      ///< ISO 8601 date
    std::optional<double> timeMin = {};  ///< min, the actual or the nominal time of the samples
    std::string material = {};           ///< AssaySample::id, or with a method FibreResult::material
    std::string run = {};                ///< AssayReading::run
    std::string method = {};             ///< FibreResult::method: results of fibre; empty: digestions
    std::optional<int> replicate = {};

    bool operator==(const Exclusion&) const = default;
};

/// The plan as it was laid down before the values were seen. Entries are added, never altered: a second one
/// is an amendment.
struct RegisteredPlan {
    std::string planJson;  ///< the plan as compact JSON with its keys sorted
    std::string sha256;    ///< of these bytes, lower-case hex, as written beside it
    std::string on;        ///< ISO 8601 date
    std::string by;
    std::string note;  ///< where it was deposited, or why it was amended; may be empty

    bool operator==(const RegisteredPlan&) const = default;
};

struct InputFile {
    std::string file;    ///< relative to the study folder
    std::string sha256;  ///< of the bytes read, lower-case hex

    bool operator==(const InputFile&) const = default;
};

/// A whole study as a value: what was fed to whom, what was measured, and the plan.
/// Invariants (readStudyFolder and tests/support keep them): indices in `draws` are valid; each vector of
/// `concentrations` is as long as `draws`; a missing concentration is std::nullopt, never NaN; values are
/// finite and not negative.
struct Study {
    std::string title;
    std::vector<Food> foods;
    std::vector<Analyte> analytes;
    std::vector<Subject> subjects;
    std::vector<std::string> sampleFiles;
    std::string subjectsFile;                                        ///< empty where there is none
    std::string visitsFile;                                          ///< empty where there is none
    std::vector<Draw> draws;                                         ///< in file order
    std::vector<std::vector<std::optional<double>>> concentrations;  ///< [analyte][draw], in Analyte::unit
    std::vector<std::optional<double>>
        nominalMin;                       ///< planned times; empty (none given), or as long as `draws`
    std::vector<std::int32_t> replicate;  ///< number of the determination within its draw, from 1; empty (all
                                          ///< 1), or as long as `draws`
    std::vector<BelowLimit> belowLimit;   ///< by draw, then analyte
    std::vector<DrawRemark> remarks;      ///< by draw, at most one each
    std::vector<CellFlaw> flaws;          ///< by draw, then analyte
    std::vector<VisitRecord> visits;
    std::vector<Exclusion> exclusions;
    std::vector<Acceptance> accepted;
    std::vector<RegisteredPlan> registered;  ///< oldest first
    Plan plan;                               ///< as written in study.json
    Conduct conduct;                         ///< as its people state it
    double insulinPmolPerUiu = 6.00;         ///< ConversionOptions, as study.json says of insulin
    std::vector<InputFile> inputs;           ///< the files read, study.json first
    std::string studyJson;                   ///< its text as read, so that unknown keys survive a save
    std::vector<FigureSpec> figures;         ///< of the manuscript, in its order
    AssayData assays;
    FibreData fibre;
    DiaryData diary;

    bool operator==(const Study&) const = default;
};

/// Index of the food / analyte / subject with that id.
std::optional<std::size_t> findFood(const Study& study, std::string_view id);
std::optional<std::size_t> findAnalyte(const Study& study, std::string_view id);
std::optional<std::size_t> findSubject(const Study& study, std::string_view id);

/// Number of the determination of a draw within its time, from 1.
inline std::int32_t replicateOf(const Study& study, std::size_t draw) {
    return study.replicate.empty() ? 1 : study.replicate[draw];
}

/// The planned time of a draw; nothing where it is not given.
inline std::optional<double> nominalMinOf(const Study& study, std::size_t draw) {
    return study.nominalMin.empty() ? std::nullopt : study.nominalMin[draw];
}

/// The quantification limit of a cell that lies below it; nothing for any other cell.
std::optional<double> belowLimitAt(const Study& study, std::uint32_t draw, std::uint32_t analyte);

/// The remark on a draw; empty where there is none.
std::string_view remarkOn(const Study& study, std::uint32_t draw);

/// Food id that the index refers to: the comparator where it has role reference, else the first food of that
/// role; empty: none.
std::string indexReference(const Study& study, const Plan& plan);

/// The label of a food id, the id itself where there is no such food.
std::string labelOf(const Study& study, std::string_view foodId);

}  // namespace aftercurve
