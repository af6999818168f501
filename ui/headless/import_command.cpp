#include "ui/headless/import_command.h"

#include <ostream>

#include "core/edit/save_study.h"
#include "core/intake/source.h"

namespace aftercurve {

Exit runImport(const ImportArguments& arguments, std::ostream& out, std::ostream& messages, bool terminal) {
    std::vector<Source> sources;
    bool ok = true;
    for (const std::filesystem::path& file : arguments.files) {
        auto source = openSource(file);
        if (source) {
            sources.push_back(std::move(source).value());
        } else {
            messages << lineFor(source.problem()) << '\n';
            ok = false;
        }
    }
    if (!ok) {
        return Exit::unreadable;
    }
    return importTables(
        inputTables(sources), arguments,
        [](const std::filesystem::path& folder, const Study& study) { return writeNewStudy(folder, study); },
        out, messages, terminal);
}

}  // namespace aftercurve
