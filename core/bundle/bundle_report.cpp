#include <utility>

#include "core/base/number_text.h"
#include "core/base/version.h"
#include "core/bundle/bundle_check.h"
#include "core/files/excerpt.h"
#include "core/files/json_text.h"

namespace aftercurve {

namespace {

std::string softwareText(const SoftwareWords& software) {
    return software.version + ", revision " + software.revision;
}

std::string counted(std::size_t count, const std::string& one, const std::string& several) {
    return std::to_string(count) + " " + (count == 1 ? one : several);
}

std::string verdictSentence(const BundleReport& report) {
    switch (report.verdict) {
        case BundleVerdict::same:
            return "The bundle is whole, and the same findings come of its study.";
        case BundleVerdict::differs:
            return "The bundle is whole, but other findings come of its study than it holds.";
        case BundleVerdict::unreadable:
            break;
    }
    if (report.stopped) {
        return "The check was stopped; nothing can be said of the bundle.";
    }
    return report.files.empty()
               ? "The bundle could not be checked."
               : "The bundle is not as its manifest says. Its findings were not computed anew.";
}

std::string differenceLine(const ResultsDifference& difference) {
    std::string line = difference.where + ": ";
    line += difference.was.empty()   ? "only in the new results: " + difference.now
            : difference.now.empty() ? "not in the new results: " + difference.was
                                     : difference.was + " -> " + difference.now;
    if (difference.relative) {
        line += " (relative difference " + plainNumber(*difference.relative) + ")";
    }
    return line;
}

std::string resultsText(const ResultsComparison& results) {
    std::string text =
        "results.json: " + counted(results.numbers, "number", "numbers") + " compared, " +
        (results.differingNumbers == 0 ? std::string{"all identical"}
                                       : std::to_string(results.differingNumbers) + " differ") +
        "\n";
    if (results.largest) {
        text += "Largest relative difference: " + plainNumber(*results.largest->relative) + " at " +
                results.largest->where + " (" + results.largest->was + " -> " + results.largest->now + ")\n";
    }
    if (results.lost + results.added + results.texts > 0) {
        text += "Besides: " + std::to_string(results.lost) + " missing in the new results, " +
                std::to_string(results.added) + " only there, " +
                counted(results.texts, "text differs", "texts differ") + "\n";
    }
    for (const ResultsDifference& difference : results.listed) {
        text += "  " + differenceLine(difference) + "\n";
    }
    const std::size_t all = results.differingNumbers + results.lost + results.added + results.texts;
    if (all > results.listed.size()) {
        text += "  and " + std::to_string(all - results.listed.size()) + " more\n";
    }
    return text;
}

Json differenceJson(const ResultsDifference& difference) {
    return {{"where", difference.where},
            {"was", difference.was.empty() ? Json(nullptr) : Json(difference.was)},
            {"now", difference.now.empty() ? Json(nullptr) : Json(difference.now)},
            {"relative", difference.relative ? Json(*difference.relative) : Json(nullptr)}};
}

Json softwareJson(const SoftwareWords& software) {
    return {{"version", software.version}, {"revision", software.revision}};
}

Json resultsReportJson(const ResultsComparison& results) {
    Json listed = Json::array();
    for (const ResultsDifference& difference : results.listed) {
        listed.push_back(differenceJson(difference));
    }
    return {{"numbers", results.numbers},
            {"differing_numbers", results.differingNumbers},
            {"missing", results.lost},
            {"added", results.added},
            {"texts", results.texts},
            {"largest", results.largest ? differenceJson(*results.largest) : Json(nullptr)},
            {"differences", listed}};
}

}  // namespace

std::string_view wordFor(BundleVerdict verdict) {
    switch (verdict) {
        case BundleVerdict::same:
            return "same";
        case BundleVerdict::differs:
            return "differs";
        case BundleVerdict::unreadable:
            return "unreadable";
    }
    return "";
}

std::string_view wordFor(BundleFault fault) {
    switch (fault) {
        case BundleFault::missing:
            return "missing";
        case BundleFault::unknown:
            return "unknown";
        case BundleFault::otherSize:
            return "other-size";
        case BundleFault::otherHash:
            return "other-hash";
        case BundleFault::damaged:
            return "damaged";
    }
    return "";
}

std::string textOf(const BundleReport& report) {
    std::string text = verdictSentence(report) + "\n";
    if (report.manifest) {
        const BundleManifest& manifest = *report.manifest;
        text += "Study: " + printable(manifest.title) + "\n";
        text += "Date: " + manifest.date +
                (manifest.creator.empty() ? "" : ", by " + printable(manifest.creator)) +
                (manifest.licenceChosen ? "" : "; no licence was chosen") + "\n";
        const SoftwareWords was{printable(manifest.softwareVersion), printable(manifest.softwareRevision)};
        const SoftwareWords now{std::string{versionText()}, std::string{revisionText()}};
        text += "Written by Aftercurve " + softwareText(was) +
                (was == now ? ", which is this program\n" : "; this program is " + softwareText(now) + "\n");
        text += "Plan: SHA-256 " + manifest.planSha256 + "\n";
        text += "Files: " + std::to_string(manifest.files.size()) + " in the manifest, " +
                (report.files.empty() && report.problems.empty()
                     ? "all of the right size and SHA-256"
                     : std::to_string(report.files.size()) + " not as it says") +
                "\n";
    }
    for (const FaultyFile& file : report.files) {
        text += "  " + printable(file.file) + " " + printable(file.what) + "\n";
    }
    for (const Problem& problem : report.problems) {
        text += lineFor(problem) + "\n";
    }
    if (report.results) {
        text += resultsText(*report.results);
        text += "Tables: " + std::to_string(report.tablesCompared) + " compared, " +
                (report.tables.empty() ? std::string{"all identical"}
                                       : std::to_string(report.tables.size()) + " differ") +
                "\n";
    }
    for (const TableDifference& table : report.tables) {
        text += "  " + printable(table.file) + ": " + table.what + "\n";
    }
    if (report.results) {
        text += "Figures, report and recompute were checked by their hashes alone.\n";
    }
    return text;
}

std::string jsonOf(const BundleReport& report) {
    Json json;
    json["format"] = "aftercurve-bundle-check";
    json["version"] = 1;
    json["verdict"] = wordFor(report.verdict);
    json["text"] = verdictSentence(report);
    json["software"] = softwareJson({std::string{versionText()}, std::string{revisionText()}});
    json["bundle"] = nullptr;
    if (report.manifest) {
        const BundleManifest& manifest = *report.manifest;
        json["bundle"] = {{"date", manifest.date},
                          {"title", manifest.title},
                          {"software", softwareJson({manifest.softwareVersion, manifest.softwareRevision})},
                          {"plan_sha256", manifest.planSha256},
                          {"files", manifest.files.size()}};
    }
    json["files"] = Json::array();
    for (const FaultyFile& file : report.files) {
        json["files"].push_back({{"file", file.file}, {"fault", wordFor(file.fault)}, {"text", file.what}});
    }
    json["problems"] = Json::array();
    for (const Problem& problem : report.problems) {
        json["problems"].push_back(lineFor(problem));
    }
    json["results"] = report.results ? resultsReportJson(*report.results) : Json(nullptr);
    json["tables"] = Json::array();
    for (const TableDifference& table : report.tables) {
        json["tables"].push_back({{"file", table.file}, {"text", table.what}});
    }
    return json.dump(1, ' ', false, Json::error_handler_t::replace) + "\n";
}

}  // namespace aftercurve
