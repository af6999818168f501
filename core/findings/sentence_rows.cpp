#include "core/findings/sentence_rows.h"

namespace aftercurve {

SentenceRows::Built& SentenceRows::built(std::string_view key) {
    const auto found = tables_.find(key);
    if (found != tables_.end()) {
        return found->second;
    }
    Built built{buildTable(key, study_, findings_), {}};
    for (std::size_t row = 0; row < built.table.rows.size(); ++row) {
        built.rowByKey.emplace(built.table.rows[row].key, row);
    }
    return tables_.emplace(key, std::move(built)).first->second;
}

const Table& SentenceRows::table(std::string_view key) {
    return built(key).table;
}

std::vector<SentenceSource> SentenceRows::rows(std::string_view tableKey,
                                               std::initializer_list<std::string> rowKeys) {
    return rows(tableKey, std::vector<std::string>{rowKeys});
}

std::vector<SentenceSource> SentenceRows::rows(std::string_view tableKey,
                                               const std::vector<std::string>& rowKeys) {
    const Built& from = built(tableKey);
    std::vector<SentenceSource> sources;
    for (const std::string& key : rowKeys) {
        if (const auto row = from.rowByKey.find(key); row != from.rowByKey.end()) {
            sources.push_back({std::string{tableKey}, row->second});
        }
    }
    return sources;
}

std::vector<SentenceSource> SentenceRows::rowsFrom(std::string_view tableKey, std::string_view keyBegins) {
    const Table& from = table(tableKey);
    std::vector<SentenceSource> sources;
    for (std::size_t row = 0; row < from.rows.size(); ++row) {
        if (from.rows[row].key.starts_with(keyBegins)) {
            sources.push_back({std::string{tableKey}, row});
        }
    }
    return sources;
}

}  // namespace aftercurve
