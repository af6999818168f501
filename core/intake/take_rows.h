#pragma once

#include <cstddef>
#include <cstdint>
#include <map>
#include <optional>
#include <span>
#include <string>
#include <string_view>
#include <unordered_map>
#include <vector>

#include "core/intake/gathered.h"
#include "core/intake/read_cell.h"
#include "core/intake/table_binding.h"

namespace aftercurve {

/// What the rows of every table are read against.
struct RowContext {
    const Mapping& mapping;
    std::vector<std::string> units;                           ///< of each analyte in the study
    std::map<std::string, std::uint32_t, std::less<>> foods;  ///< position by id or text
};

/// Reads the rows of one table into Gathered. The mapping was checked before.
class RowTaker {
  public:
    RowTaker(const RowContext& context, const InputTable& table, std::uint32_t tableIndex,
             const TableMapping& how, const Binding& binding, Gathered& gathered, ProblemList& problems);

    void take(std::size_t row, std::span<const RawCell> cells);

  private:
    struct ValueColumn {
        std::size_t index = 0;
        std::uint32_t analyte = 0;
        double factor = 1.0;
        std::string name;  ///< for messages
    };
    /// Value columns that belong to one draw of the row.
    struct Group {
        std::optional<double> timeMin;
        std::string subject;
        std::string food;
        int replicate = 0;
        std::vector<ValueColumn> columns;
    };
    struct Times {
        std::optional<double> actual;
        std::optional<double> nominal;
        std::optional<double> clock;
    };
    struct Current {
        std::size_t row = 0;
        std::span<const RawCell> cells;
    };
    enum class Found { ok, absent, fault };

    void addValueColumn(const BoundColumn& column);
    RawCell cellOf(ColumnRole role) const;
    RawCell cellAt(std::size_t column) const;
    std::string headerOf(ColumnRole role) const;
    bool isMissing(std::string_view text) const;
    void did(Deed deed) { gathered_.deeds[tableIndex_][static_cast<std::size_t>(deed)].add(now_.row); }
    void fail(std::string_view column, std::string what, std::string remedy);
    bool isSkipped();
    std::string_view filled(ColumnRole role, std::string& last);

    Found readSubject(std::string_view code, std::uint32_t& subject);
    Found readFood(std::string_view text, std::uint32_t& food);
    bool readCount(ColumnRole role, std::string_view text, std::int32_t& count);
    bool readMinutes(ColumnRole role, std::optional<double>& minutes);
    bool readClock(ColumnRole role, std::optional<double>& clock);
    bool readTimes(Times& times);
    bool readDilutions();
    bool readVisit(std::int32_t& visit, std::int32_t& period, std::int32_t& replicate);
    void keepVisit(const VisitKey& key, std::int32_t period);
    void keepSubjectFacts(std::uint32_t subject);
    void takeDraws();
    void addDraw(const Group& group, const Draw& draw, const Times& times, std::int32_t replicate);
    void readValue(const ValueColumn& column, std::uint32_t draw, std::optional<double>& target);
    std::string remarkOf(std::string_view text);
    bool readLimitWord(std::string_view text, std::uint32_t analyte, double& limit);
    bool hasAnyValue() const;
    bool isPlaced(ColumnRole role) const { return place_[static_cast<std::size_t>(role)].has_value(); }
    VisitFacts& factsOf(const VisitKey& key);

    const RowContext& context_;
    const InputTable& table_;
    std::uint32_t tableIndex_;
    const TableMapping& how_;
    Gathered& gathered_;
    ProblemList& problems_;
    std::string name_;
    std::map<ColumnRole, BoundColumn> roles_;
    std::vector<std::string> header_;                ///< the last header row
    std::vector<std::optional<std::size_t>> place_;  ///< of each role
    std::vector<double> minutesPerUnit_;             ///< of each role
    bool hasVisitFacts_ = false;                     ///< a column may say something of visits
    bool hasSubjectFacts_ = false;                   ///< or of subjects
    std::vector<BoundColumn> dilutions_;
    std::vector<double> dilution_;  ///< of this row, by analyte
    std::vector<Group> groups_;
    std::string fixedSubject_;
    std::string fixedFood_;
    Current now_;
    std::string lastCode_;
    std::uint32_t lastSubject_ = 0;
    bool lastPadded_ = false;
    std::string lastFoodText_;
    std::uint32_t lastFood_ = 0;
    Tally* lastRenamed_ = nullptr;
    VisitKey lastVisit_;
    VisitFacts* lastVisitFacts_ = nullptr;
    std::string filledSubject_;
    std::string filledFood_;
    std::string filledVisit_;
    std::string filledPeriod_;
};

}  // namespace aftercurve
