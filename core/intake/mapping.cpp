#include "core/intake/mapping.h"

#include "core/base/words.h"

namespace aftercurve {

namespace {

constexpr Words<Layout, 5> layouts{{{Layout::longRows, "long"},
                                    {Layout::wideByTime, "wide-by-time"},
                                    {Layout::wideBySubject, "wide-by-subject"},
                                    {Layout::visits, "visits"},
                                    {Layout::subjects, "subjects"}}};
constexpr Words<ColumnRole, 18> roles{{{ColumnRole::ignore, "ignore"},
                                       {ColumnRole::subject, "subject"},
                                       {ColumnRole::food, "food"},
                                       {ColumnRole::visit, "visit"},
                                       {ColumnRole::period, "period"},
                                       {ColumnRole::date, "date"},
                                       {ColumnRole::time, "time"},
                                       {ColumnRole::nominalTime, "nominal-time"},
                                       {ColumnRole::clockTime, "clock-time"},
                                       {ColumnRole::mealStart, "meal-start"},
                                       {ColumnRole::replicate, "replicate"},
                                       {ColumnRole::dilution, "dilution"},
                                       {ColumnRole::remark, "remark"},
                                       {ColumnRole::analyte, "analyte"},
                                       {ColumnRole::sequence, "sequence"},
                                       {ColumnRole::sex, "sex"},
                                       {ColumnRole::age, "age"},
                                       {ColumnRole::bmi, "bmi"}}};
constexpr Words<Origin, 4> origins{
    {{Origin::column, "column"}, {Origin::sheet, "sheet"}, {Origin::file, "file"}, {Origin::fixed, "fixed"}}};
constexpr Words<DateOrder, 2> dateOrders{
    {{DateOrder::dayMonth, "day-month"}, {DateOrder::monthDay, "month-day"}}};
constexpr Words<DilutionRule, 2> dilutions{
    {{DilutionRule::alreadyApplied, "already-applied"}, {DilutionRule::multiply, "multiply"}}};

char lower(char c) {
    return c >= 'A' && c <= 'Z' ? static_cast<char>(c - 'A' + 'a') : c;
}

}  // namespace

std::string_view wordFor(Layout layout) {
    return wordIn(layouts, layout);
}
std::string_view wordFor(ColumnRole role) {
    return wordIn(roles, role);
}
std::string_view wordFor(Origin origin) {
    return wordIn(origins, origin);
}
std::string_view wordFor(DateOrder order) {
    return wordIn(dateOrders, order);
}
std::string_view wordFor(DilutionRule rule) {
    return wordIn(dilutions, rule);
}

std::optional<Layout> layoutFrom(std::string_view word) {
    return valueIn(layouts, word);
}
std::optional<ColumnRole> columnRoleFrom(std::string_view word) {
    return valueIn(roles, word);
}
std::optional<Origin> originFrom(std::string_view word) {
    return valueIn(origins, word);
}
std::optional<DateOrder> dateOrderFrom(std::string_view word) {
    return valueIn(dateOrders, word);
}
std::optional<DilutionRule> dilutionRuleFrom(std::string_view word) {
    return valueIn(dilutions, word);
}

std::string layoutWords() {
    return listOf(layouts);
}
std::string columnRoleWords() {
    return listOf(roles);
}
std::string originWords() {
    return listOf(origins);
}

std::string analyteOf(const TableMapping& table, const ColumnMapping& column) {
    return column.analyte.empty() ? table.analyte : column.analyte;
}

std::string unitOf(const Mapping& mapping, const TableMapping& table, const ColumnMapping& column) {
    if (!column.unit.empty() || !table.unit.empty()) {
        return column.unit.empty() ? table.unit : column.unit;
    }
    const std::string analyte = analyteOf(table, column);
    for (const AnalyteMapping& entry : mapping.analytes) {
        if (entry.id == analyte) {
            return entry.fileUnit;
        }
    }
    return {};
}

bool needsFileUnit(const Mapping& mapping, std::string_view analyte) {
    for (const TableMapping& table : mapping.tables) {
        if (!table.use || !table.unit.empty()) {
            continue;
        }
        if (table.layout == Layout::wideBySubject && table.othersAreSubjects && table.analyte == analyte) {
            return true;
        }
        for (const ColumnMapping& column : table.columns) {
            if (column.role == ColumnRole::analyte && column.unit.empty() &&
                analyteOf(table, column) == analyte) {
                return true;
            }
        }
    }
    return false;
}

bool hasColumn(const Mapping& mapping, ColumnRole role) {
    for (const TableMapping& table : mapping.tables) {
        for (const ColumnMapping& column : table.columns) {
            if (table.use && column.role == role) {
                return true;
            }
        }
    }
    return false;
}

bool fitsPattern(std::string_view name, std::string_view pattern) {
    // The last '*' met is the only one that can need another try.
    std::size_t n = 0;
    std::size_t p = 0;
    std::size_t star = std::string_view::npos;
    std::size_t resume = 0;
    while (n < name.size()) {
        if (p < pattern.size() && pattern[p] == '*') {
            star = p++;
            resume = n;
        } else if (p < pattern.size() && lower(pattern[p]) == lower(name[n])) {
            ++p;
            ++n;
        } else if (star != std::string_view::npos) {
            p = star + 1;
            n = ++resume;
        } else {
            return false;
        }
    }
    while (p < pattern.size() && pattern[p] == '*') {
        ++p;
    }
    return p == pattern.size();
}

}  // namespace aftercurve
