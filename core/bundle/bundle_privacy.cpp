#include "core/bundle/bundle_privacy.h"

#include <set>
#include <string>

#include "core/files/delimited.h"
#include "core/files/excerpt.h"
#include "core/files/json_text.h"
#include "core/files/privacy_columns.h"
#include "core/files/problem_list.h"
#include "core/files/study_folder.h"
#include "core/files/text_check.h"

namespace aftercurve {

namespace {

Problem warning(const std::string& file, const std::string& column, const std::string& kind) {
    Problem problem =
        problemAt(file, 0, column, "the " + kind + " " + quote(column) + " looks as if it identified people",
                  "remove it from the study: a bundle holds subject codes only");
    problem.severity = Severity::warning;
    return problem;
}

void addColumns(const BundleFile& file, std::vector<Problem>& problems) {
    const auto text = checkedText(file.bytes, file.name);
    if (!text) {
        return;
    }
    const ReadLimits limits;
    DelimitedScanner scanner{text.value(), limits.lineBytes, limits.columns};
    if (scanner.next() != DelimitedScanner::Step::row) {
        return;
    }
    for (const std::string_view cell : scanner.cells()) {
        if (looksPersonal(trimmed(cell))) {
            problems.push_back(warning(file.name, std::string{trimmed(cell)}, "column"));
        }
    }
}

void collectPersonalKeys(const Json& json, std::set<std::string>& keys) {
    if (json.is_object()) {
        for (const auto& [key, value] : json.items()) {
            if (looksPersonal(key)) {
                keys.insert(key);
            }
            collectPersonalKeys(value, keys);
        }
    } else if (json.is_array()) {
        for (const Json& value : json) {
            collectPersonalKeys(value, keys);
        }
    }
}

}  // namespace

std::vector<Problem> personalColumnsOf(std::span<const BundleFile> files) {
    std::vector<Problem> problems;
    for (const BundleFile& file : files) {
        const bool study = isInBundleFolder(file.name, bundleStudyFolder);
        if (study && file.name.ends_with("study.json")) {
            const ReadLimits limits;
            std::set<std::string> keys;
            if (const auto json = parseJson(file.bytes, file.name, limits.studyJsonDepth)) {
                collectPersonalKeys(json.value(), keys);
            }
            for (const std::string& key : keys) {
                problems.push_back(warning(file.name, key, "key"));
            }
        } else if (file.name.ends_with(".csv") || (study && !file.name.ends_with(".jsonl"))) {
            addColumns(file, problems);
        }
    }
    return problems;
}

}  // namespace aftercurve
