#include <set>

#include "core/findings/json/json_parts.h"

namespace aftercurve {

namespace {

Json cellJson(const Cell& cell) {
    return std::visit(
        [](const auto& value) -> Json {
            if constexpr (std::is_same_v<std::decay_t<decltype(value)>, std::monostate>) {
                return nullptr;
            } else {
                return value;
            }
        },
        cell);
}

}  // namespace

Json tableRowsJson(const Table& table) {
    return arrayOf(table.rows, [&table](const Row& row) {
        Json json = Json::object();
        for (std::size_t c = 0; c < row.cells.size(); ++c) {
            json[table.columns[c].key] = cellJson(row.cells[c]);
        }
        // Ids in place of labels.
        const std::pair<const char*, const std::string*> ids[] = {{"analyte", &row.about.analyte},
                                                                  {"measure", &row.about.measure},
                                                                  {"food", &row.about.food},
                                                                  {"subject", &row.about.subject}};
        for (const auto& [key, id] : ids) {
            if (!id->empty() && json.contains(key)) {
                json[key] = *id;
            }
        }
        return json;
    });
}

}  // namespace aftercurve
