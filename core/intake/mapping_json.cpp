#include "core/intake/mapping_json.h"

#include <cmath>
#include <cstdint>

#include "core/files/excerpt.h"
#include "core/files/json_object.h"
#include "core/files/text_check.h"
#include "core/study/units.h"

namespace aftercurve {

namespace {

constexpr const char* formatName = "aftercurve-mapping";
constexpr std::size_t mostBytes = 4u << 20;
constexpr int mostDepth = 16;
constexpr std::size_t mostTables = 4096;
constexpr std::size_t mostColumns = 4096;
constexpr std::size_t mostTexts = 4096;
constexpr std::int64_t largestRow = 20'000'001;

/// Reads one mapping; every fault goes to `problems`, so that all are listed.
class Reader {
  public:
    explicit Reader(std::string_view file) : file_(file) {}

    Mapping read(const JsonObject& root) {
        refuseUnknownKeys(root, {"format", "version", "title", "tables", "foods", "analytes", "missing_words",
                                 "limit_texts", "time_texts", "skip_rows_named", "date_order", "dilution",
                                 "subject_digits", "time_basis"});
        Mapping mapping;
        mapping.title = root.text("title").value_or("");
        for (const JsonObject& entry : list(root, "tables", mostTables)) {
            mapping.tables.push_back(table(entry));
        }
        for (const JsonObject& entry : list(root, "foods", mostTexts)) {
            mapping.foods.push_back(food(entry));
        }
        for (const JsonObject& entry : list(root, "analytes", mostTexts)) {
            mapping.analytes.push_back(analyte(entry));
        }
        if (auto words = root.texts("missing_words", Need::optional)) {
            mapping.missingWords = std::move(*words);
        }
        for (const JsonObject& entry : list(root, "limit_texts", mostTexts)) {
            refuseUnknownKeys(entry, {"text", "analyte", "limit"});
            mapping.limitTexts.push_back({entry.text("text", Need::required).value_or(""),
                                          entry.text("analyte").value_or(""), entry.notNegative("limit")});
        }
        for (const JsonObject& entry : list(root, "time_texts", mostTexts)) {
            refuseUnknownKeys(entry, {"text", "minutes"});
            mapping.timeTexts.push_back(
                {entry.text("text", Need::required).value_or(""), entry.number("minutes")});
        }
        mapping.skipRowsNamed =
            root.texts("skip_rows_named", Need::optional).value_or(std::vector<std::string>{});
        mapping.dateOrder = word<DateOrder>(root, "date_order", dateOrderFrom, "day-month, month-day");
        mapping.dilution =
            word<DilutionRule>(root, "dilution", dilutionRuleFrom, "already-applied, multiply");
        mapping.subjectDigits.reset();
        if (root.value().contains("subject_digits")) {
            if (const auto digits = whole(root, "subject_digits", 0, 20)) {
                mapping.subjectDigits = static_cast<int>(*digits);
            }
        } else {
            mapping.subjectDigits = 0;
        }
        const std::string basis = root.text("time_basis").value_or("actual");
        if (basis != "actual" && basis != "nominal") {
            refuseWord(root, "time_basis", basis, "actual, nominal");
        }
        mapping.nominalBasis = basis == "nominal";
        return mapping;
    }

  private:
    void refuseUnknownKeys(const JsonObject& object, std::initializer_list<std::string_view> known) {
        for (const auto& [key, entry] : object.value().items()) {
            if (std::find(known.begin(), known.end(), key) == known.end()) {
                std::string words;
                for (const std::string_view one : known) {
                    words += (words.empty() ? "" : ", ") + std::string{one};
                }
                object.report(Weight::fatal, key, "is not a key of a mapping",
                              "check its spelling; known here: " + words);
            }
        }
    }

    void refuseWord(const JsonObject& object, const char* key, const std::string& found,
                    const std::string& words) {
        object.report(Weight::fatal, key, "is " + quote(found) + ", which is not a known word",
                      "use one of " + words);
    }

    template <class Value, class From>
    std::optional<Value> word(const JsonObject& object, const char* key, From from,
                              const std::string& words) {
        const auto text = object.text(key);
        const auto value = text ? from(*text) : std::optional<Value>{};
        if (text && !value) {
            refuseWord(object, key, *text, words);
        }
        return value;
    }

    std::vector<JsonObject> list(const JsonObject& object, const char* key, std::size_t most) {
        auto entries = object.objects(key, Need::optional);
        if (entries.size() > most) {
            object.report(Weight::fatal, key, "has more than " + std::to_string(most) + " entries",
                          "check that it is a mapping");
            entries.clear();
        }
        return entries;
    }

    std::optional<std::int64_t> whole(const JsonObject& object, const char* key, std::int64_t least,
                                      std::int64_t most) {
        const auto value = object.wholeNumber(key);
        if (value && (*value < least || *value > most)) {
            object.report(Weight::fatal, key,
                          "is " + std::to_string(*value) + "; a number from " + std::to_string(least) +
                              " to " + std::to_string(most) + " is expected",
                          "mend it in " + std::string{file_});
            return std::nullopt;
        }
        return value;
    }

    std::size_t count(const JsonObject& object, const char* key, std::size_t absent, std::int64_t least) {
        const auto value = whole(object, key, least, largestRow);
        return value ? static_cast<std::size_t>(*value) : absent;
    }

    char oneOf(const JsonObject& object, const char* key, char absent, std::string_view allowed,
               const std::string& words) {
        const auto text = object.text(key);
        if (!text) {
            return absent;
        }
        if (*text == "tab" && allowed.find('\t') != std::string_view::npos) {
            return '\t';
        }
        if (text->size() != 1 || allowed.find((*text)[0]) == std::string_view::npos) {
            refuseWord(object, key, *text, words);
            return absent;
        }
        return (*text)[0];
    }

    TextDialect dialect(const JsonObject& entry) {
        TextDialect how;
        how.encoding = entry.text("encoding").value_or("utf-8");
        if (how.encoding != "utf-8" && how.encoding != "utf-16le" && how.encoding != "utf-16be" &&
            how.encoding != "latin-1") {
            refuseWord(entry, "encoding", how.encoding, "utf-8, utf-16le, utf-16be, latin-1");
        }
        how.delimiter = oneOf(entry, "delimiter", ',', ",;|\t", "',', ';', '|', 'tab'");
        how.decimalMark = oneOf(entry, "decimal_mark", '.', ".,", "'.', ','");
        return how;
    }

    TableMapping table(const JsonObject& entry) {
        refuseUnknownKeys(
            entry, {"source",       "file",       "sheet",       "use",           "encoding",   "delimiter",
                    "decimal_mark", "header_row", "header_rows", "first_row",     "last_row",   "layout",
                    "subject_from", "subject",    "food_from",   "food",          "visit_from", "visit",
                    "analyte",      "unit",       "fill_down",   "other_columns", "columns"});
        TableMapping table;
        table.source = count(entry, "source", 1, 0);
        table.file = entry.text("file").value_or("");
        table.sheet = entry.text("sheet").value_or("");
        table.use = entry.boolean("use").value_or(true);
        table.dialect = dialect(entry);
        table.headerRow = count(entry, "header_row", 1, 0);
        table.headerRows = static_cast<std::size_t>(whole(entry, "header_rows", 1, 2).value_or(1));
        table.firstRow = count(entry, "first_row", table.headerRow + 1, 1);
        table.lastRow = count(entry, "last_row", 0, 0);
        table.layout = word<Layout>(entry, "layout", layoutFrom, layoutWords()).value_or(Layout::longRows);
        table.subjectFrom = origin(entry, "subject_from");
        table.subject = entry.text("subject").value_or("");
        table.foodFrom = origin(entry, "food_from");
        table.food = entry.text("food").value_or("");
        table.visitFrom = origin(entry, "visit_from");
        table.visit = static_cast<int>(whole(entry, "visit", 1, 1'000'000).value_or(1));
        table.analyte = entry.text("analyte").value_or("");
        table.unit = entry.text("unit").value_or("");
        table.fillDown = entry.boolean("fill_down").value_or(false);
        const std::string others = entry.text("other_columns").value_or("ignore");
        if (others != "ignore" && others != "subjects") {
            refuseWord(entry, "other_columns", others, "ignore, subjects");
        }
        table.othersAreSubjects = others == "subjects";
        for (const JsonObject& column : list(entry, "columns", mostColumns)) {
            table.columns.push_back(this->column(column));
        }
        return table;
    }

    Origin origin(const JsonObject& entry, const char* key) {
        return word<Origin>(entry, key, originFrom, originWords()).value_or(Origin::column);
    }

    ColumnMapping column(const JsonObject& entry) {
        refuseUnknownKeys(entry, {"column", "header", "role", "analyte", "unit", "time_min", "subject",
                                  "food", "replicate"});
        ColumnMapping column;
        column.column = static_cast<std::size_t>(whole(entry, "column", 1, 4096).value_or(1));
        if (!entry.value().contains("column")) {
            entry.report(Weight::fatal, "column", "is missing", "give the position of the column, from 1");
        }
        // Two header rows are joined by a line break in some workbooks, so only their text is compared.
        column.header = entry.text("header").value_or("");
        entry.text("role", Need::required);
        column.role =
            word<ColumnRole>(entry, "role", columnRoleFrom, columnRoleWords()).value_or(ColumnRole::ignore);
        column.analyte = entry.text("analyte").value_or("");
        column.unit = entry.text("unit").value_or("");
        column.timeMin = entry.number("time_min");
        column.subject = entry.text("subject").value_or("");
        column.food = entry.text("food").value_or("");
        column.replicate = static_cast<int>(whole(entry, "replicate", 0, 1000).value_or(0));
        return column;
    }

    FoodMapping food(const JsonObject& entry) {
        refuseUnknownKeys(entry, {"id", "label", "role", "texts", "available_carbohydrate_g", "portion_g"});
        FoodMapping food;
        food.id = entry.id("id", Need::required).value_or("");
        food.label = entry.text("label").value_or(food.id);
        food.role = word<FoodRole>(entry, "role", foodRoleFrom, "reference, control, test");
        food.texts = entry.texts("texts", Need::optional).value_or(std::vector<std::string>{});
        food.availableCarbohydrateG = entry.notNegative("available_carbohydrate_g");
        food.portionG = entry.notNegative("portion_g");
        return food;
    }

    AnalyteMapping analyte(const JsonObject& entry) {
        refuseUnknownKeys(entry, {"id", "unit", "file_unit", "specimen", "pmol_per_uiu"});
        AnalyteMapping analyte;
        analyte.id = entry.id("id", Need::required).value_or("");
        analyte.unit = entry.text("unit").value_or("");
        analyte.fileUnit = entry.text("file_unit").value_or("");
        analyte.specimen = entry.text("specimen").value_or("");
        const double factor = entry.number("pmol_per_uiu").value_or(6.00);
        if (factor != 6.0 && factor != 6.945) {
            entry.report(Weight::fatal, "pmol_per_uiu", "is neither 6.00 nor 6.945", "use 6.00 or 6.945");
        }
        analyte.pmolPerUiu = factor;
        return analyte;
    }

    std::string_view file_;
};

}  // namespace

MappingReading readMapping(std::string_view bytes, std::string_view file) {
    MappingReading reading;
    ProblemList problems{100};
    const auto refuse = [&](Problem problem) {
        problems.add(Weight::fatal, std::move(problem));
        reading.problems = problems.take();
        return reading;
    };
    if (bytes.size() > mostBytes) {
        return refuse(problemAt(file, 0, {}, "the file is larger than 4 MiB", "check that it is a mapping"));
    }
    const auto text = checkedText(bytes, file);
    if (!text) {
        return refuse(text.problem());
    }
    const auto json = parseJson(text.value(), file, mostDepth);
    if (!json) {
        return refuse(json.problem());
    }
    if (!json.value().is_object() || json.value().value("format", Json()) != formatName) {
        return refuse(problemAt(file, 0, "format",
                                "the file is not a mapping: its \"format\" is not \"aftercurve-mapping\"",
                                "name a file that --save-mapping wrote"));
    }
    const Json version = json.value().value("version", Json());
    if (!version.is_number_integer() || version != 1) {
        return refuse(problemAt(file, 0, "version",
                                "version is " + shown(version) + "; this program reads version 1",
                                "use a program that reads that version"));
    }
    const JsonObject root{json.value(), "", file, problems};
    Mapping mapping = Reader{file}.read(root);
    if (!problems.failed()) {
        reading.mapping = std::move(mapping);
    }
    reading.problems = problems.take();
    return reading;
}

}  // namespace aftercurve
