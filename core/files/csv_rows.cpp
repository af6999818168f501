#include "core/files/csv_rows.h"

#include <memory>

#include "core/files/excerpt.h"

namespace aftercurve {

bool findNamedColumns(const CsvHeader& header, std::span<const NamedColumn> columns, std::string_view file,
                      ProblemList& problems) {
    const auto used = std::make_unique<bool[]>(header.names.size());
    bool fine = true;
    const auto fail = [&](const char* name, const char* fault, const char* remedy) {
        fine = false;
        problems.add(Weight::fatal,
                     problemAt(file, header.row, name, "the column " + quote(name) + fault, remedy));
    };
    for (const NamedColumn& one : columns) {
        *one.position = header.find(one.name);
        for (std::size_t i = 0; i < header.names.size(); ++i) {
            if (header.names[i] == one.name) {
                used[i] = true;
                if (i != *one.position) {
                    fail(one.name, " is there twice", "keep one of them");
                }
            }
        }
        if (one.needed && !*one.position) {
            fail(one.name, " is missing", "add it, or mend its name in the first row");
        }
    }
    reportUnusedColumns(header, {used.get(), header.names.size()}, file, problems);
    return fine;
}

}  // namespace aftercurve
