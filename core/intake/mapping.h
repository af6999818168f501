#pragma once

#include <cstddef>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "core/intake/source.h"
#include "core/study/study.h"

namespace aftercurve {

/// How the rows and columns of a table carry the draws.
enum class Layout {
    longRows,       ///< one row a draw, a column an analyte
    wideByTime,     ///< one row a visit, a column a time (of one or several analytes)
    wideBySubject,  ///< one row a time, a column a subject
    visits,         ///< no values: dates, meal starts, periods and remarks, one row a visit
    subjects,       ///< no values: sequence, sex, age and BMI, one row a subject
};

enum class ColumnRole {
    ignore,
    subject,
    food,
    visit,
    period,
    date,
    time,         ///< actual time from the first bite
    nominalTime,  ///< time by protocol
    clockTime,    ///< time of day of the draw
    mealStart,    ///< time of day of the first bite
    replicate,
    dilution,
    remark,
    analyte,  ///< concentrations
    sequence,
    sex,
    age,
    bmi,
};

/// Where the subject, food or visit of a table's rows is written.
enum class Origin {
    column,
    sheet,  ///< the sheet's name
    file,   ///< the file's name without its ending
    fixed,  ///< one for the whole table
};

/// Day and month in dates written with numbers. Dates such as 2026-03-02 are read in any case.
enum class DateOrder { dayMonth, monthDay };

/// What a dilution column means for the values beside it.
enum class DilutionRule { alreadyApplied, multiply };

/// A column that has a role. It is found by its header where there is one (of equal headers the one at its
/// position, else the next that is not taken), else by its position.
struct ColumnMapping {
    std::size_t column = 1;  ///< position, from 1
    std::string header;      ///< text above it; of two header rows "upper / lower"
    ColumnRole role = ColumnRole::ignore;
    std::string analyte;            ///< id; empty: the table's. Of a dilution: the analyte it is for
    std::string unit;               ///< of its values; empty: the table's. Of a time: min (also empty) or h
    std::optional<double> timeMin;  ///< wide by time: the time of its values
    std::string subject;            ///< wide by subject: code of its values; empty: the header
    std::string food;               ///< wide by subject: text of the food of its values, where columns differ
    int replicate = 0;              ///< from 1 where several columns hold assay duplicates; else 0

    bool operator==(const ColumnMapping&) const = default;
};

/// One table, or all tables that fit `source` and `sheet`; of several entries that fit a table the first
/// holds.
struct TableMapping {
    std::size_t source = 1;  ///< order of the file, from 1; 0: any file
    std::string file;        ///< name of the file when the mapping was made; for the reader's eye
    std::string sheet;       ///< sheet name; '*' stands for any text; empty: any table
    bool use = true;
    TextDialect dialect;         ///< of a workbook only the decimal mark, for numbers written as text
    std::size_t headerRow = 1;   ///< the last of the header rows; 0: none
    std::size_t headerRows = 1;  ///< 2: a row of common headings stands above it
    std::size_t firstRow = 2;    ///< of the data
    std::size_t lastRow = 0;     ///< of the data; 0: to the end
    Layout layout = Layout::longRows;
    Origin subjectFrom = Origin::column;
    std::string subject;  ///< where fixed
    Origin foodFrom = Origin::column;
    std::string food;  ///< where fixed; text that the food list knows
    Origin visitFrom = Origin::column;
    int visit = 1;          ///< where fixed
    std::string analyte;    ///< of columns that name none
    std::string unit;       ///< of columns that name none
    bool fillDown = false;  ///< an empty subject, food, visit, period or date means that of the row above
    bool othersAreSubjects = false;  ///< wide by subject: columns not listed are subjects
    std::vector<ColumnMapping> columns;

    bool operator==(const TableMapping&) const = default;
};

struct FoodMapping {
    std::string id;
    std::string label;
    std::optional<FoodRole> role;    ///< absent: an open question
    std::vector<std::string> texts;  ///< spellings in the files; the id itself is always one
    std::optional<double> availableCarbohydrateG;
    std::optional<double> portionG;

    bool operator==(const FoodMapping&) const = default;
};

struct AnalyteMapping {
    std::string id;
    std::string unit;      ///< of the study, values in another are converted; empty: the fileUnit
    std::string fileUnit;  ///< of columns that name none, nor their table; empty: an open question there
    std::string specimen;
    double pmolPerUiu = 6.00;  ///< insulin only: 6.00 or 6.945

    bool operator==(const AnalyteMapping&) const = default;
};

/// A text that stands for "below the quantification limit", e.g. "n.d.". Texts such as "<2.0" need none.
struct LimitText {
    std::string text;
    std::string analyte;          ///< empty: any
    std::optional<double> limit;  ///< in the unit of the column; absent: an open question

    bool operator==(const LimitText&) const = default;
};

/// A word for a time, e.g. "fasting".
struct TimeText {
    std::string text;
    std::optional<double> minutes;  ///< absent: an open question

    bool operator==(const TimeText&) const = default;
};

/// Everything that is needed to turn the files of a laboratory into a study; reusable for the next files of
/// the same laboratory. What is absent though it is needed is an open question: `checkMapping` names it.
struct Mapping {
    std::string title;
    std::vector<TableMapping> tables;
    std::vector<FoodMapping> foods;
    std::vector<AnalyteMapping> analytes;
    std::vector<std::string> missingWords{"NA", "na", "N/A", "n/a", "-", "."};  ///< and an empty cell
    std::vector<LimitText> limitTexts;
    std::vector<TimeText> timeTexts;
    std::vector<std::string> skipRowsNamed;  ///< rows whose subject or time cell is one of these are left out
    std::optional<DateOrder> dateOrder;
    std::optional<DilutionRule> dilution;
    std::optional<int> subjectDigits =
        0;                      ///< whole-number codes get zeros in front up to this length; 0: kept
    bool nominalBasis = false;  ///< the plan computes from nominal times

    bool operator==(const Mapping&) const = default;
};

std::string_view wordFor(Layout layout);
std::string_view wordFor(ColumnRole role);
std::string_view wordFor(Origin origin);
std::string_view wordFor(DateOrder order);
std::string_view wordFor(DilutionRule rule);

std::optional<Layout> layoutFrom(std::string_view word);
std::optional<ColumnRole> columnRoleFrom(std::string_view word);
std::optional<Origin> originFrom(std::string_view word);
std::optional<DateOrder> dateOrderFrom(std::string_view word);
std::optional<DilutionRule> dilutionRuleFrom(std::string_view word);

/// The words of an enumeration as a list for a message: "long, wide-by-time, ...".
std::string layoutWords();
std::string columnRoleWords();
std::string originWords();

/// The analyte and the unit of a column of values: its own, else the table's, else (unit) the analyte's
/// fileUnit.
std::string analyteOf(const TableMapping& table, const ColumnMapping& column);
std::string unitOf(const Mapping& mapping, const TableMapping& table, const ColumnMapping& column);

/// True where a table that is used has values of this analyte whose unit neither column nor table names.
bool needsFileUnit(const Mapping& mapping, std::string_view analyte);

/// True where a table that is used has a column of that role.
bool hasColumn(const Mapping& mapping, ColumnRole role);

/// True where `name` fits `pattern`, in which '*' stands for any text; capital letters do not matter.
bool fitsPattern(std::string_view name, std::string_view pattern);

}  // namespace aftercurve
