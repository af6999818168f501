#pragma once

#include <initializer_list>
#include <map>
#include <string>
#include <string_view>
#include <unordered_map>
#include <vector>

#include "core/findings/sentence.h"
#include "core/findings/table.h"

namespace aftercurve {

/// Finds the rows of tables that sentences rest on. A table is built when it is first asked for.
class SentenceRows {
  public:
    SentenceRows(const Study& study, const Findings& findings) : study_(study), findings_(findings) {}

    const Table& table(std::string_view key);
    /// The rows of that table with these keys, in that order; a key that no row has gives none.
    std::vector<SentenceSource> rows(std::string_view tableKey, std::initializer_list<std::string> rowKeys);
    std::vector<SentenceSource> rows(std::string_view tableKey, const std::vector<std::string>& rowKeys);
    /// All rows whose key begins so.
    std::vector<SentenceSource> rowsFrom(std::string_view tableKey, std::string_view keyBegins);

  private:
    struct Built {
        Table table;
        std::unordered_map<std::string, std::size_t> rowByKey;
    };
    Built& built(std::string_view key);

    const Study& study_;
    const Findings& findings_;
    std::map<std::string, Built, std::less<>> tables_;
};

}  // namespace aftercurve
