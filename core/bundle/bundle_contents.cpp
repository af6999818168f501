#include "core/bundle/bundle_contents.h"

#include <algorithm>
#include <utility>

#include "core/base/caution.h"
#include "core/base/version.h"
#include "core/bundle/bundle_manifest.h"
#include "core/bundle/results_comparison.h"
#include "core/files/excerpt.h"
#include "core/files/problem_list.h"
#include "core/files/registration.h"
#include "core/files/sha256.h"
#include "core/files/text_check.h"
#include "core/files/visits_csv.h"
#include "core/findings/write_results.h"

namespace aftercurve {

namespace {

constexpr std::size_t longestCreator = 100;
constexpr std::size_t mostLicenceBytes = std::size_t{1} << 20;

std::string readmeText(const BundleManifest& manifest) {
    std::string text = "Study bundle";
    text += manifest.title.empty() ? "\n\n" : ": " + printable(manifest.title) + "\n\n";
    text += "A feeding study with everything that its results rest on, as Aftercurve wrote it.\n\n";
    text += "Date:       " + manifest.date + "\n";
    text += "Creator:    " + (manifest.creator.empty() ? "not given" : manifest.creator) + "\n";
    text += "Software:   Aftercurve " + manifest.softwareVersion + ", revision " + manifest.softwareRevision +
            "\n";
    text += "Plan:       SHA-256 " + manifest.planSha256 + "\n";
    text += std::string{"Licence:    "} +
            (manifest.licenceChosen ? "see LICENCE.txt" : "none chosen, see LICENCE.txt") + "\n";
    text +=
        "\nWhat is in it\n\n"
        "study/         the study as it was read: study.json, the files that it names, and ledger.jsonl "
        "(every\n"
        "               change of a value: who, when, why) where there is one\n"
        "findings/      results.json: every number at full precision\n"
        "tables/        the same as tables (CSV, UTF-8, comma, decimal point)\n"
        "figures/       each figure as SVG and PDF\n"
        "report.html    the report, one page without script; report.pdf: the same for print\n"
        "recompute/     the samples as analysed and an R script that computes every reported number again:\n"
        "               Rscript recompute.R in that folder; it needs R 3.6 and no package\n"
        "LICENCE.txt    on what terms it may be used\n"
        "manifest.json  every file but itself with its size and SHA-256\n"
        "\nHow to verify it\n\n"
        "With the program: aftercurve-run verify BUNDLE (folder or zip file). It checks every size and "
        "hash,\n"
        "analyses the study anew and compares the numbers. Status 0: the same; 4: something differs; 3: it\n"
        "cannot be read, or a file is not as the manifest says.\n"
        "Without it: compare the SHA-256 of the files with manifest.json, and run recompute/recompute.R.\n"
        "The hashes show damage and mistakes. They do not show who wrote the bundle.\n"
        "\nCaution\n\n";
    text += cautionText();
    text += "\nSubjects appear by code only. The key to the codes is not in the bundle.\n";
    return text;
}

std::string licenceText(const std::string& licence) {
    if (!licence.empty()) {
        return licence.ends_with('\n') ? licence : licence + "\n";
    }
    return "No licence was chosen for this bundle.\n\n"
           "Without one nobody may take it that the data can be used, copied or passed on. Whoever deposits "
           "it\n"
           "chooses a licence that the ethics approval, the consent of the subjects and the repository "
           "allow,\n"
           "and makes the bundle again with it: aftercurve-run bundle STUDY --out BUNDLE --licence FILE\n";
}

Problem notBundled(std::string what, std::string remedy) {
    return problemAt({}, 0, {}, std::move(what), std::move(remedy));
}

}  // namespace

std::string faultOf(const BundleFacts& facts) {
    if (!isIsoDate(facts.date)) {
        return "the date " + quote(facts.date) + " is not written as 2026-03-02";
    }
    if (facts.creator.size() > longestCreator || hasControlCharacters(facts.creator) ||
        facts.creator.find_first_of(" @") != std::string::npos) {
        return "the creator " + quote(facts.creator) +
               " is no code: at most 100 bytes, no blanks, no address, no name";
    }
    if (facts.licence.size() > mostLicenceBytes) {
        return "the text of the licence has more than 1 MiB";
    }
    if (!facts.licence.empty()) {
        if (const auto text = checkedText(facts.licence, "licence"); !text) {
            return "the text of the licence cannot be used: " + text.problem().what;
        }
    }
    return {};
}

std::vector<BundleFile> bundleResultFiles(const Study& study, const Findings& findings) {
    std::vector<BundleFile> files;
    forEachResultFile(study, findings, [&](const std::string& name, const std::string& bytes) {
        files.push_back({name == "results.json" ? bundleResultsName : name, bytes});
        return true;
    });
    return files;
}

Result<std::vector<BundleFile>> completeBundle(std::vector<BundleFile> files, const Study& study,
                                               const BundleFacts& facts) {
    if (const std::string fault = faultOf(facts); !fault.empty()) {
        return notBundled(fault, "give it anew");
    }
    BundleManifest manifest;
    manifest.softwareVersion = versionText();
    manifest.softwareRevision = revisionText();
    manifest.date = facts.date;
    manifest.creator = facts.creator;
    manifest.title = study.title;
    manifest.licenceChosen = !facts.licence.empty();
    manifest.planSha256 = sha256Hex(canonicalPlanText(study.plan));
    files.push_back({"README.txt", readmeText(manifest)});
    files.push_back({"LICENCE.txt", licenceText(facts.licence)});
    for (const BundleFile& file : files) {
        if (const auto fault = faultOfBundleName(file.name)) {
            return notBundled("the name " + quote(file.name) + " cannot stand in a bundle: " + *fault,
                              "rename the file");
        }
    }
    const BundleLimits limits;
    std::uintmax_t total = 0;
    for (const BundleFile& file : files) {
        total += file.bytes.size();
        const std::uintmax_t most = file.name == bundleResultsName ? mostResultsBytes : limits.fileBytes;
        if (file.bytes.size() > most || total > limits.totalBytes) {
            return notBundled(quote(file.name) + " is too large for a bundle, or all files together are",
                              "split the study");
        }
    }
    manifest.files = bundleEntriesOf(files);
    files.push_back({bundleManifestName, bundleManifestText(manifest)});
    std::sort(files.begin(), files.end(),
              [](const BundleFile& a, const BundleFile& b) { return a.name < b.name; });
    // What was written must be readable: also names that stand twice and files past the bounds.
    const auto written = std::find_if(files.begin(), files.end(),
                                      [](const BundleFile& file) { return file.name == bundleManifestName; });
    if (const auto back = readBundleManifest(written->bytes); !back || back.value() != manifest) {
        return notBundled("the manifest would be refused on reading: " +
                              (back ? std::string{"it does not read back as written"} : back.problem().what),
                          "check the study's title and the names of its files");
    }
    return files;
}

}  // namespace aftercurve
