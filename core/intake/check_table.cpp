#include "core/intake/check_table.h"

#include <algorithm>
#include <map>
#include <set>
#include <tuple>

#include "core/base/number_text.h"
#include "core/files/excerpt.h"
#include "core/files/privacy_columns.h"
#include "core/intake/table_binding.h"
#include "core/study/units.h"

namespace aftercurve {

namespace {

/// Checks one table against its entry; what it reports names the key in the mapping.
class TableCheck {
  public:
    TableCheck(const Mapping& mapping, std::size_t entry, const InputTable& table, ProblemList& problems)
        : mapping_(mapping),
          how_(mapping.tables[entry]),
          key_("tables[" + std::to_string(entry) + "]"),
          table_(table),
          problems_(problems) {}

    void run() {
        if (how_.headerRow != 0 && how_.firstRow <= how_.headerRow) {
            report(Weight::fatal, ".first_row", "the data would begin in or above the header",
                   "set first_row to the first row of data");
        }
        const auto head = readHead(table_, how_);
        if (!head) {
            Problem problem = head.problem();
            problem.column = key_ + ".header_row";
            problems_.add(Weight::fatal, std::move(problem));
            return;
        }
        binding_ = bind(head.value(), how_);
        checkColumnsThere(head.value());
        checkPrivacy(head.value());
        checkRolesOnce();
        checkNeeded();
        checkValues();
    }

  private:
    void report(Weight weight, const std::string& key, std::string what, std::string remedy) {
        problems_.add(weight, problemAt(nameOf(table_), how_.headerRow, key_ + key, std::move(what),
                                        std::move(remedy)));
    }

    bool has(ColumnRole role) const {
        return std::any_of(binding_.columns.begin(), binding_.columns.end(),
                           [role](const BoundColumn& column) { return column.how.role == role; });
    }

    bool isWide() const { return how_.layout == Layout::wideByTime || how_.layout == Layout::wideBySubject; }
    bool holdsValues() const { return isWide() || how_.layout == Layout::longRows; }

    void checkColumnsThere(const TableHead& head) {
        for (const ColumnMapping& column : binding_.missing) {
            report(Weight::fatal, ".columns",
                   "the " + std::string{wordFor(column.role)} + " column " + quote(column.header) +
                       " is not in the table",
                   "mend the header in the mapping or in the file, or take the column out of the mapping");
        }
        std::string list;
        for (const std::size_t c : binding_.unlisted) {
            if (!looksPersonal(head.lower[c])) {
                list += (list.empty() ? "" : ", ") + quote(head.headers[c]);
            }
        }
        if (!list.empty()) {
            report(Weight::note, ".columns", "not in the mapping and not read: " + shortened(list), {});
        }
    }

    void checkPrivacy(const TableHead& head) {
        for (std::size_t c = 0; c < head.lower.size(); ++c) {
            if (!looksPersonal(head.lower[c]) && !looksPersonal(head.headers[c])) {
                continue;
            }
            const bool used = std::any_of(binding_.columns.begin(), binding_.columns.end(),
                                          [c](const BoundColumn& column) { return column.index == c; });
            report(Weight::warning, ".columns",
                   "the column " + quote(head.headers[c]) + " looks as if it identified people; it is " +
                       (used ? "used as the mapping says" : "not read"),
                   used ? "make sure that it holds codes only"
                        : "take it out of the file before you pass the file on");
        }
    }

    void checkRolesOnce() {
        std::set<ColumnRole> seen;
        std::set<std::string> dilutions;
        std::set<std::tuple<std::string, std::optional<double>, std::string, std::string, int>> values;
        for (const BoundColumn& column : binding_.columns) {
            const ColumnMapping& how = column.how;
            bool isNew = true;
            if (how.role == ColumnRole::analyte) {
                const auto time = how_.layout == Layout::wideByTime ? how.timeMin : std::nullopt;
                isNew =
                    values.insert({analyteOf(how_, how), time, how.subject, how.food, how.replicate}).second;
            } else if (how.role == ColumnRole::dilution) {
                isNew = dilutions.insert(how.analyte).second;
            } else {
                isNew = seen.insert(how.role).second;
            }
            if (!isNew) {
                report(
                    Weight::fatal, ".columns",
                    nameOf(how) + " has the same role as another column: " + std::string{wordFor(how.role)},
                    how.role == ColumnRole::analyte
                        ? "set replicate where they are assay duplicates, else the role of one to ignore"
                        : "set the role of one of them to ignore");
            }
        }
    }

    void need(bool there, const std::string& key, const std::string& what, const std::string& remedy) {
        if (!there) {
            report(Weight::fatal, key, what, remedy);
        }
    }

    void checkNeeded() {
        const std::string layout{wordFor(how_.layout)};
        const bool subjectInHeader = how_.layout == Layout::wideBySubject;
        if (!subjectInHeader) {
            need(how_.subjectFrom != Origin::column || has(ColumnRole::subject), ".columns",
                 "no column is the subject",
                 "give one column the role subject, or set subject_from to sheet, file or fixed");
            need(how_.subjectFrom != Origin::fixed || !how_.subject.empty(), ".subject",
                 "the subject of the table is not given", "set subject, or subject_from");
        }
        if (how_.layout == Layout::subjects) {
            return;
        }
        const bool foodInHeader =
            subjectInHeader &&
            std::all_of(binding_.columns.begin(), binding_.columns.end(), [](const BoundColumn& column) {
                return column.how.role != ColumnRole::analyte || !column.how.food.empty();
            });
        need(how_.foodFrom != Origin::column || has(ColumnRole::food) || foodInHeader, ".columns",
             "no column is the food",
             "give one column the role food, or set food_from to sheet, file or fixed");
        need(how_.foodFrom != Origin::fixed || !how_.food.empty(), ".food",
             "the food of the table is not given",
             "set food to one of the foods, or food_from to column, sheet or file");
        if (!holdsValues()) {
            return;
        }
        need(has(ColumnRole::analyte), ".columns", "no column holds concentrations",
             "give at least one column the role analyte, with its analyte and unit");
        const bool minutes = has(ColumnRole::time) || has(ColumnRole::nominalTime);
        if (how_.layout == Layout::wideByTime) {
            need(!minutes && !has(ColumnRole::clockTime), ".layout",
                 "a table with a column a time has a time column as well",
                 "set the layout to long, or ignore that column");
        } else {
            need(minutes || has(ColumnRole::clockTime), ".columns", "no column is the time",
                 "give one column the role time, nominal-time or clock-time");
        }
        need(!has(ColumnRole::time) || !has(ColumnRole::clockTime), ".columns",
             "two columns give the actual time, one in minutes and one as time of day",
             "set the role of the minutes to nominal-time, or ignore one of them");
        need(!has(ColumnRole::clockTime) || has(ColumnRole::nominalTime) ||
                 hasColumn(mapping_, ColumnRole::mealStart),
             ".columns", "times of day without a start of the meal",
             "give a column the role meal-start, or one the role nominal-time, whose row 0 is the start");
    }

    void checkValues() {
        for (const BoundColumn& column : binding_.columns) {
            if (column.how.role == ColumnRole::analyte && holdsValues()) {
                checkValueColumn(column.how);
            } else if ((column.how.role == ColumnRole::time || column.how.role == ColumnRole::nominalTime) &&
                       !column.how.unit.empty() && column.how.unit != "min" && column.how.unit != "h") {
                report(Weight::fatal, ".columns",
                       nameOf(column.how) + " has the unit " + quote(column.how.unit) +
                           ", which is no unit of time here",
                       "use min or h");
            }
        }
    }

    void checkValueColumn(const ColumnMapping& how) {
        const std::string analyte = analyteOf(how_, how);
        if (analyte.empty()) {
            report(Weight::fatal, ".analyte", nameOf(how) + " holds values of an analyte that is not given",
                   "set analyte of the column or of the table");
            return;
        }
        const auto declared =
            std::find_if(mapping_.analytes.begin(), mapping_.analytes.end(),
                         [&analyte](const AnalyteMapping& entry) { return entry.id == analyte; });
        if (declared == mapping_.analytes.end()) {
            report(Weight::fatal, ".columns",
                   nameOf(how) + " holds " + quote(analyte) + ", which analytes does not declare",
                   "add it to analytes with its unit");
            return;
        }
        if (how_.layout == Layout::wideByTime && !how.timeMin) {
            report(Weight::fatal, ".columns", nameOf(how) + " has no time", "set time_min of the column");
        }
        const std::string unit = unitOf(mapping_, how_, how);
        if (unit.empty()) {
            return;  // reported once, with the analyte
        }
        const std::string to = declared->unit.empty() ? unit : declared->unit;
        if (const auto factor = conversionFactor(analyte, unit, to); !factor) {
            report(Weight::fatal, ".columns", nameOf(how) + ": " + factor.problem().what,
                   factor.problem().remedy);
        }
    }

    const Mapping& mapping_;
    const TableMapping& how_;
    std::string key_;
    const InputTable& table_;
    ProblemList& problems_;
    Binding binding_;
};

}  // namespace

void checkTable(const Mapping& mapping, std::size_t entry, const InputTable& table, ProblemList& problems) {
    TableCheck{mapping, entry, table, problems}.run();
}

}  // namespace aftercurve
