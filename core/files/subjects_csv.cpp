#include "core/files/subjects_csv.h"

#include <array>

#include "core/files/cell_rules.h"
#include "core/files/csv_cell.h"
#include "core/files/csv_rows.h"
#include "core/files/excerpt.h"
#include "core/files/id_index.h"
#include "core/files/number_cell.h"
#include "core/files/text_check.h"

namespace aftercurve {

namespace {

constexpr std::size_t longestCode = 100;

struct SubjectColumns {
    std::optional<std::size_t> subject;
    std::optional<std::size_t> sequence;
    std::optional<std::size_t> sex;
    std::optional<std::size_t> ageY;
    std::optional<std::size_t> bmiKgM2;
};

class SubjectsReading {
  public:
    SubjectsReading(std::string_view file, const ReadLimits& limits, Study& study, ProblemList& problems)
        : file_(file), limits_(limits), study_(study), problems_(problems) {}

    void read(std::string_view text) {
        readCsvRows(
            text, file_, limits_, problems_, [this](const CsvHeader& header) { return findColumns(header); },
            [this] { return study_.subjects.size(); }, [this](const DelimitedScanner& row) { readRow(row); });
    }

  private:
    bool findColumns(const CsvHeader& header) {
        const std::array named{NamedColumn{"subject", &columns_.subject, true},
                               NamedColumn{"sequence", &columns_.sequence}, NamedColumn{"sex", &columns_.sex},
                               NamedColumn{"age_y", &columns_.ageY},
                               NamedColumn{"bmi_kg_m2", &columns_.bmiKgM2}};
        return findNamedColumns(header, named, file_, problems_);
    }

    void readRow(const DelimitedScanner& scanner) {
        const auto cells = scanner.cells();
        Subject subject;
        subject.id = std::string{textIn(trimmed(cells[*columns_.subject]))};
        if (const std::string fault = faultOfSubjectCode(subject.id); !fault.empty()) {
            problems_.add(Weight::fatal, [&] {
                return problemAt(file_, scanner.row(), "subject", fault, "give each subject a short code");
            });
            return;
        }
        if (!ids_.add(subject.id, 0)) {
            problems_.add(Weight::fatal, [&] {
                Problem problem = problemAt(file_, scanner.row(), "subject",
                                            "the subject " + quote(subject.id) + " is there twice",
                                            "keep one row a subject");
                problem.subject = subject.id;
                return problem;
            });
            return;
        }
        subject.sequence = words(scanner, columns_.sequence, "sequence", subject.id);
        subject.sex = words(scanner, columns_.sex, "sex", subject.id);
        subject.ageY = number(scanner, columns_.ageY, "age_y", oldestY, subject.id);
        subject.bmiKgM2 = number(scanner, columns_.bmiKgM2, "bmi_kg_m2", largestBmi, subject.id);
        study_.subjects.push_back(std::move(subject));
    }

    std::string words(const DelimitedScanner& scanner, std::optional<std::size_t> column, const char* name,
                      const std::string& subject) {
        const std::string_view cell = column ? trimmed(scanner.cells()[*column]) : std::string_view{};
        if (readNumber(cell).kind == NumberKind::missing) {
            return {};
        }
        FreeText text = freeTextIn(cell);
        if (text.shortened) {
            problems_.add(Weight::warning, [&] {
                Problem problem = problemAt(file_, scanner.row(), name,
                                            std::string{name} + " is longer than " +
                                                std::to_string(longestText) + " bytes; the rest is not read",
                                            "shorten it");
                problem.subject = subject;
                return problem;
            });
        }
        return std::move(text.text);
    }

    std::optional<double> number(const DelimitedScanner& scanner, std::optional<std::size_t> column,
                                 const char* name, double largest, const std::string& subject) {
        if (!column) {
            return std::nullopt;
        }
        const std::string_view cell = scanner.cells()[*column];
        const NumberCell number = readNumber(cell);
        if (number.kind == NumberKind::missing) {
            return std::nullopt;
        }
        if (number.kind == NumberKind::value && number.value >= 0.0 && number.value <= largest) {
            return number.value;
        }
        problems_.add(Weight::warning, [&] {
            const std::string fault =
                number.kind == NumberKind::value
                    ? quote(cell) + " lies outside 0 to " + std::to_string(static_cast<int>(largest))
                    : faultOf(number.kind, cell);
            Problem problem =
                problemAt(file_, scanner.row(), name, std::string{name} + ": " + fault + "; it is left out",
                          remedyFor(number.kind));
            problem.subject = subject;
            return problem;
        });
        return std::nullopt;
    }

    std::string_view file_;
    const ReadLimits& limits_;
    Study& study_;
    ProblemList& problems_;
    SubjectColumns columns_;
    IdIndex ids_;
};

}  // namespace

void readSubjectsCsv(std::string_view bytes, std::string_view file, const ReadLimits& limits, Study& study,
                     ProblemList& problems) {
    const Result<std::string_view> text = checkedText(bytes, file);
    if (!text) {
        problems.add(Weight::fatal, text.problem());
        return;
    }
    SubjectsReading{file, limits, study, problems}.read(text.value());
}

std::string faultOfSubjectCode(std::string_view code) {
    if (code.empty()) {
        return "the subject is empty";
    }
    if (readNumber(code).kind == NumberKind::missing) {
        return "the subject is " + quote(code) + ", which stands for a missing value";
    }
    if (code.size() > longestCode) {
        return "the subject " + quote(code) + " is longer than 100 bytes";
    }
    if (hasControlCharacters(code)) {
        return "the subject " + quote(code) + " holds control characters or line breaks";
    }
    return {};
}

}  // namespace aftercurve
