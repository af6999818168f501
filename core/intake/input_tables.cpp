#include "core/intake/input_table.h"

namespace aftercurve {

std::vector<InputTable> inputTables(std::span<const Source> sources, const IntakeLimits& limits) {
    std::vector<InputTable> tables;
    for (std::size_t s = 0; s < sources.size(); ++s) {
        const Source& source = sources[s];
        const TextDialect dialect = guessDialect(source, limits);
        for (std::size_t t = 0; t < source.tables.size(); ++t) {
            InputTable table;
            table.source = s + 1;
            table.file = source.file;
            table.sha256 = source.sha256;
            table.sheet = source.tables[t].name;
            table.workbook = source.workbook;
            table.hidden = source.tables[t].hidden;
            table.dialect = dialect;
            table.visit = [source, t, limits](const TextDialect& how, const RowVisitor& visitor,
                                              const ShareDone& progress) {
                return visitRows(source, t, how, limits, visitor, progress);
            };
            tables.push_back(std::move(table));
        }
    }
    return tables;
}

}  // namespace aftercurve
