#include "core/intake/column_facts.h"

#include <algorithm>
#include <functional>
#include <string>
#include <string_view>
#include <unordered_map>

#include "core/intake/fold_text.h"
#include "core/intake/read_cell.h"
#include "core/intake/time_text.h"

namespace aftercurve {

namespace {

constexpr std::size_t rowsInDetail = 20'000;
constexpr std::size_t mostTexts = 1000;
constexpr std::size_t mostOdd = 50;

/// Counts different texts without a search where the same one stands again.
class TextCounter {
  public:
    TextCounter(std::vector<SeenText>& texts, std::size_t most) : texts_(texts), most_(most) {}

    /// False where there was no room.
    bool add(std::string_view text, std::size_t row) {
        if (last_ < texts_.size() && texts_[last_].text == text) {
            ++texts_[last_].count;
            return true;
        }
        if (const auto found = positions_.find(text); found != positions_.end()) {
            last_ = found->second;
            ++texts_[last_].count;
            return true;
        }
        if (texts_.size() == most_) {
            return false;
        }
        last_ = texts_.size();
        positions_.emplace(text, last_);
        texts_.push_back({std::string{text}, 1, row});
        return true;
    }

  private:
    std::vector<SeenText>& texts_;
    std::size_t most_;
    std::size_t last_ = 0;
    struct Hash {
        using is_transparent = void;
        std::size_t operator()(std::string_view text) const { return std::hash<std::string_view>{}(text); }
    };
    std::unordered_map<std::string, std::size_t, Hash, std::equal_to<>> positions_;
};

struct Counters {
    TextCounter texts;
    TextCounter odd;
};

void countDate(std::string_view text, ColumnFacts& facts) {
    switch (dateFormOf(text)) {
        case DateForm::none:
            return;
        case DateForm::ordered:
            break;
        case DateForm::dayFirst:
            ++facts.dayFirst;
            break;
        case DateForm::monthFirst:
            ++facts.monthFirst;
            break;
        case DateForm::either:
            ++facts.eitherOrder;
            break;
    }
    ++facts.dates;
    facts.dotted = facts.dotted || text.find('.') != std::string_view::npos;
}

void countKinds(const RawCell& cell, ColumnFacts& facts) {
    if (cell.kind == CellKind::date) {
        ++facts.dates;
    } else if (cell.kind == CellKind::clock) {
        ++facts.clocks;
    } else if (cell.kind == CellKind::text) {
        if (clockFrom(cell.text) && cell.text.find(':') != std::string_view::npos) {
            ++facts.clocks;
        }
        countDate(cell.text, facts);
    }
    if (cell.kind == CellKind::number || cell.kind == CellKind::duration || minutesFrom(cell.text)) {
        ++facts.times;
    }
}

}  // namespace

std::optional<double> ColumnFacts::median() const {
    if (values.empty()) {
        return std::nullopt;
    }
    std::vector<double> sorted = values;
    const auto middle = sorted.begin() + static_cast<std::ptrdiff_t>((sorted.size() - 1) / 2);
    std::nth_element(sorted.begin(), middle, sorted.end());
    return *middle;
}

Result<TableFacts> gatherFacts(const InputTable& table, const TextDialect& dialect, std::size_t firstRow,
                               const TableHead& head, const std::vector<std::string>& missingWords) {
    TableFacts facts;
    std::vector<Counters> counters;
    facts.columns.reserve(4096);  // the counters point into them
    const auto done = table.visit(
        dialect,
        [&](std::size_t row, std::span<const RawCell> cells) {
            if (row < firstRow || repeatsHeader(head.lower, cells)) {
                return Visit::goOn;
            }
            ++facts.rows;
            while (facts.columns.size() < std::min<std::size_t>(cells.size(), 4096)) {
                ColumnFacts& column = facts.columns.emplace_back();
                counters.push_back({TextCounter{column.texts, mostTexts}, TextCounter{column.odd, mostOdd}});
            }
            for (std::size_t c = 0; c < std::min(cells.size(), facts.columns.size()); ++c) {
                const std::string_view text = stripped(cells[c].text);
                if (text.empty()) {
                    continue;
                }
                ColumnFacts& column = facts.columns[c];
                ++column.filled;
                const CellValue value = readConcentration(cells[c], dialect.decimalMark);
                if (value.kind == CellValueKind::value) {
                    ++column.numbers;
                    if (column.values.size() < rowsInDetail) {
                        column.values.push_back(value.number);
                    }
                } else if (value.kind != CellValueKind::belowLimit &&
                           std::find(missingWords.begin(), missingWords.end(), text) == missingWords.end()) {
                    counters[c].odd.add(text, row);
                }
                if (facts.rows <= rowsInDetail) {
                    countKinds(cells[c], column);
                }
                if (!column.manyTexts) {
                    column.manyTexts = !counters[c].texts.add(text, row);
                }
            }
            return Visit::goOn;
        },
        {});
    if (!done) {
        return done.problem();
    }
    return facts;
}

}  // namespace aftercurve
