#include "core/intake/read_ahead.h"

#include "core/intake/table_binding.h"

namespace aftercurve {

bool readAhead(std::span<const InputTable> tables, const Mapping& mapping, const ShareDone& progress) {
    if (!progress) {
        return true;
    }
    const auto entries = entriesFor(mapping, tables);
    bool stopped = false;
    const auto ask = [&](double) {
        stopped = stopped || !progress(0.0);
        return !stopped;
    };
    const auto atFirstRow = [](std::size_t, std::span<const RawCell>) { return Visit::stop; };
    for (std::size_t t = 0; t < tables.size() && !stopped; ++t) {
        if (tables[t].workbook && entries[t] && mapping.tables[*entries[t]].use) {
            tables[t].visit(mapping.tables[*entries[t]].dialect, atFirstRow, ask).ok();
        }
    }
    return !stopped;
}

}  // namespace aftercurve
