#pragma once

#include <span>
#include <string_view>
#include <vector>

namespace aftercurve {

/// Tables of the findings that stand together under one heading of the report.
struct TableGroup {
    std::string_view section;  ///< id of the section
    std::string_view heading;
    std::vector<std::string_view> keys;  ///< of tableList(), in the order of the report
};

/// All groups in the order of the report. A key that tableList() does not have is passed over; tables of
/// tableList() in no group are those of the last one, whose own list is empty.
std::span<const TableGroup> tableGroups();

/// The keys of that group that tableList() has; for the last group, all that no other one names.
std::vector<std::string_view> keysOf(const TableGroup& group);

}  // namespace aftercurve
