// The subjects table.
#include "core/edit/table_edits.h"
#include "core/files/cell_rules.h"
#include "core/files/delimited.h"
#include "core/files/excerpt.h"
#include "core/files/study_folder.h"
#include "core/files/subjects_csv.h"

namespace aftercurve {

namespace {

enum SubjectsColumn : std::size_t { subject, sequence, sex, ageY, bmiKgM2, columnCount };

std::vector<TableColumn> columns(const Study& /*study*/) {
    return {{"subject", "Subject", false, true},
            {"sequence", "Sequence", false, false},
            {"sex", "Sex", false, false},
            {"age_y", "Age (y)", true, false},
            {"bmi_kg_m2", "BMI (kg/m²)", true, false}};
}

std::size_t rows(const Study& study) {
    return study.subjects.size();
}

std::string text(const Study& study, std::size_t row, std::size_t column) {
    const Subject& one = study.subjects[row];
    switch (column) {
        case subject:
            return one.id;
        case sequence:
            return one.sequence;
        case sex:
            return one.sex;
        case ageY:
            return numberText(one.ageY);
        default:
            return numberText(one.bmiKgM2);
    }
}

Result<std::string> codeFrom(const Study& study, std::string_view text, const std::string& present) {
    const std::string_view code = trimmed(text);
    if (code == present && !present.empty()) {
        return present;
    }
    if (std::string fault = faultOfSubjectCode(code); !fault.empty()) {
        return cellProblem("subject", fault, "give the subject a short code");
    }
    if (findSubject(study, code)) {
        return cellProblem("subject", "the subject " + quote(code) + " is there already",
                           "give each subject its own code");
    }
    return std::string{code};
}

Result<std::optional<double>> numberFrom(std::string_view text, const char* column, double largest) {
    const NumberCell number = readNumber(text);
    if (number.kind == NumberKind::missing) {
        return std::optional<double>{};
    }
    if (number.kind == NumberKind::value && number.value >= 0.0 && number.value <= largest) {
        return std::optional{number.value};
    }
    const std::string limits = "0 to " + std::to_string(static_cast<int>(largest));
    const std::string fault = number.kind == NumberKind::value ? quote(text) + " lies outside " + limits
                                                               : faultOf(number.kind, text);
    return cellProblem(column, std::string{column} + ": " + fault,
                       "enter a number from " + limits + ", or leave it empty");
}

/// Writes one cell but the code into a subject.
Result<Done> put(Subject& one, std::size_t column, std::string_view text) {
    if (column == sequence || column == sex) {
        Result<std::string> words = wordsFrom(text, column == sequence ? "sequence" : "sex");
        if (!words) {
            return words.problem();
        }
        (column == sequence ? one.sequence : one.sex) = std::move(words).value();
        return Done{};
    }
    const auto number =
        column == ageY ? numberFrom(text, "age_y", oldestY) : numberFrom(text, "bmi_kg_m2", largestBmi);
    if (!number) {
        return number.problem();
    }
    (column == ageY ? one.ageY : one.bmiKgM2) = number.value();
    return Done{};
}

Result<Done> set(Study& study, const SetCell& cell) {
    const std::size_t row = cell.row;
    const std::size_t column = cell.column;
    const std::string& newText = cell.text;
    Subject& one = study.subjects[row];
    if (column != subject) {
        return put(one, column, newText);
    }
    Result<std::string> code = codeFrom(study, newText, one.id);
    if (!code) {
        return code.problem();
    }
    if (code.value() == one.id) {
        return Done{};
    }
    if (auto problem = nameInUse(study, NamedThing::subject, code.value())) {
        return *problem;
    }
    renameEverywhere(study, NamedThing::subject, one.id, code.value());
    one.id = std::move(code).value();
    return Done{};
}

/// Moves the indices of the subjects from `row` on by `step`.
void moveSubjects(Study& study, std::size_t row, int step) {
    const auto move = [&](std::uint32_t& index) {
        if (index >= row) {
            index = static_cast<std::uint32_t>(static_cast<std::int64_t>(index) + step);
        }
    };
    for (Draw& draw : study.draws) {
        move(draw.subject);
    }
    for (VisitRecord& visit : study.visits) {
        move(visit.subject);
    }
}

Result<std::size_t> insert(Study& study, const InsertRow& change) {
    if (study.subjects.size() >= ReadLimits{}.rows) {
        return cellProblem({}, "the study has as many subjects as are read", "split the study");
    }
    Subject added;
    Result<std::string> code = codeFrom(study, change.cells[subject], {});
    if (!code) {
        return code.problem();
    }
    added.id = std::move(code).value();
    for (std::size_t column = sequence; column < columnCount; ++column) {
        if (Result<Done> done = put(added, column, change.cells[column]); !done) {
            return done.problem();
        }
    }
    if (change.row < study.subjects.size()) {
        moveSubjects(study, change.row, 1);
    }
    study.subjects.insert(study.subjects.begin() + static_cast<std::ptrdiff_t>(change.row), std::move(added));
    return change.row;
}

Result<Done> remove(Study& study, const RemoveRow& change) {
    const std::size_t row = change.row;
    if (const auto table = subjectUsedIn(study, row)) {
        return cellProblem("subject",
                           "the subject " + quote(study.subjects[row].id) + " has rows in the " + *table +
                               ", and cannot be removed",
                           "exclude it instead, or remove those rows first");
    }
    study.subjects.erase(study.subjects.begin() + static_cast<std::ptrdiff_t>(row));
    if (row < study.subjects.size()) {
        moveSubjects(study, row, -1);
    }
    return Done{};
}

std::string nameOfRow(const Study& study, std::size_t row) {
    return "subject " + shortened(study.subjects[row].id);
}

}  // namespace

const TableEdits subjectsEdits{columns, rows, text, set, insert, remove, nameOfRow};

}  // namespace aftercurve
