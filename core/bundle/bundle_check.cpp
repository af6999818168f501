#include "core/bundle/bundle_check.h"

#include <algorithm>
#include <map>
#include <set>
#include <utility>

#include "core/base/progress_part.h"
#include "core/bundle/bundle_contents.h"
#include "core/bundle/bundle_reader.h"
#include "core/bundle/bundle_study.h"
#include "core/files/delimited.h"
#include "core/files/excerpt.h"
#include "core/files/problem_list.h"
#include "core/files/registration.h"
#include "core/files/sha256.h"

namespace aftercurve {

namespace {

bool isCompared(std::string_view name) {
    return name == bundleResultsName || isInBundleFolder(name, bundleTablesFolder);
}

bool isKept(std::string_view name) {
    return isCompared(name) || isInBundleFolder(name, bundleStudyFolder);
}

/// Where two CSV texts differ first.
std::string firstDifference(std::string_view was, std::string_view now) {
    constexpr std::size_t lineBytes = std::size_t{1} << 20;
    constexpr std::size_t columns = 1000;
    DelimitedScanner before{was, lineBytes, columns};
    DelimitedScanner after{now, lineBytes, columns};
    std::vector<std::string> header;
    for (std::size_t row = 1;; ++row) {
        const bool more = before.next() == DelimitedScanner::Step::row;
        const bool moreNow = after.next() == DelimitedScanner::Step::row;
        const std::string at = "row " + std::to_string(row);
        if (!more && !moreNow) {
            return "the bytes differ, not the cells";
        }
        if (more != moreNow) {
            return at + (more ? " does not come out" : " stands in none of the bundle");
        }
        const auto a = before.cells();
        const auto b = after.cells();
        for (std::size_t i = 0; i < std::min(a.size(), b.size()); ++i) {
            if (a[i] != b[i]) {
                const std::string column = i < header.size() ? header[i] : std::to_string(i + 1);
                return at + ", column " + shortened(column) + ": " + quote(a[i]) + " -> " + quote(b[i]);
            }
        }
        if (a.size() != b.size()) {
            return at + " has " + std::to_string(a.size()) + " cells, now " + std::to_string(b.size());
        }
        if (row == 1) {
            header.assign(a.begin(), a.end());
        }
    }
}

class Checking {
  public:
    Checking(const Progress& progress, const BundleLimits& limits) : progress_(progress), limits_(limits) {}

    BundleReport check(const std::filesystem::path& bundle) {
        readAll(bundle);
        if (report_.problems.empty() && report_.files.empty()) {
            computeAnew();
        }
        std::sort(report_.files.begin(), report_.files.end(),
                  [](const FaultyFile& a, const FaultyFile& b) { return a.file < b.file; });
        return std::move(report_);
    }

  private:
    void readAll(const std::filesystem::path& bundle) {
        const auto reader = BundleReader::open(bundle, limits_);
        if (!reader) {
            report_.problems.push_back(reader.problem());
            return;
        }
        const auto place = reader.value().find(bundleManifestName);
        if (!place) {
            report_.problems.push_back(problemAt(bundleManifestName, 0, {}, "there is no manifest.json",
                                                 "name the folder, or the zip file, that a bundle was "
                                                 "written to"));
            return;
        }
        if (reader.value().items()[*place].bytes > limits_.manifestBytes) {
            report_.problems.push_back(problemAt(bundleManifestName, 0, {}, "the manifest is too large"));
            return;
        }
        const auto bytes = reader.value().read(*place);
        auto manifest =
            bytes ? readBundleManifest(bytes.value(), limits_) : Result<BundleManifest>{bytes.problem()};
        if (!manifest) {
            report_.problems.push_back(manifest.problem());
            return;
        }
        report_.manifest = std::move(manifest).value();
        checkFiles(reader.value());
    }

    void checkFiles(const BundleReader& reader) {
        std::map<std::string_view, std::size_t> there;
        for (std::size_t i = 0; i < reader.items().size(); ++i) {
            there.emplace(reader.items()[i].name, i);
        }
        const std::vector<BundleEntry>& listed = report_.manifest->files;
        for (std::size_t i = 0; i < listed.size(); ++i) {
            if (!tell(0.2 * static_cast<double>(i) / static_cast<double>(listed.size()), "checking hashes")) {
                return;
            }
            const auto found = there.find(listed[i].file);
            if (found == there.end()) {
                fault(listed[i].file, BundleFault::missing, "is in the manifest and not in the bundle");
                continue;
            }
            checkFile(reader, found->second, listed[i]);
            there.erase(found);
        }
        there.erase(bundleManifestName);
        for (const auto& [name, place] : there) {
            fault(std::string{name}, BundleFault::unknown, "is in the bundle and not in the manifest");
        }
    }

    void checkFile(const BundleReader& reader, std::size_t place, const BundleEntry& entry) {
        const std::uintmax_t size = reader.items()[place].bytes;
        if (size != entry.bytes) {
            fault(entry.file, BundleFault::otherSize,
                  "has " + std::to_string(size) + " bytes, in the manifest " + std::to_string(entry.bytes));
            return;
        }
        auto bytes = reader.read(place);
        if (!bytes) {
            fault(entry.file, BundleFault::damaged, bytes.problem().what);
            return;
        }
        if (sha256Hex(bytes.value()) != entry.sha256) {
            fault(entry.file, BundleFault::otherHash, "has another SHA-256 than in the manifest");
            return;
        }
        report_.bytes += size;
        if (isKept(entry.file)) {
            kept_.push_back({entry.file, std::move(bytes).value()});
        }
    }

    void computeAnew() {
        const BundledStudy anew = analyseBundledStudy(kept_, partOf(own(), 0.2, 0.9));
        if (report_.stopped || !anew.study) {
            report_.problems = anew.problems;
            return;
        }
        if (sha256Hex(canonicalPlanText(anew.study->plan)) != report_.manifest->planSha256) {
            report_.problems.push_back(
                problemAt(bundleManifestName, 0, "plan_sha256",
                          "the plan of the study is not the one whose SHA-256 the manifest gives",
                          "get the bundle anew from where it is deposited"));
            return;
        }
        if (tell(0.9, "comparing")) {
            compare(bundleResultFiles(*anew.study, anew.findings));
        }
    }

    void compare(const std::vector<BundleFile>& made) {
        std::map<std::string_view, const BundleFile*> now;
        for (const BundleFile& file : made) {
            if (isCompared(file.name)) {
                now.emplace(file.name, &file);
            }
        }
        for (const BundleFile& was : kept_) {
            if (was.name == bundleResultsName) {
                auto results = compareResults(was.bytes, now.at(bundleResultsName)->bytes);
                if (!results) {
                    report_.problems.push_back(results.problem());
                    return;
                }
                report_.results = std::move(results).value();
            }
        }
        if (!report_.results) {
            report_.problems.push_back(problemAt(bundleResultsName, 0, {}, "the bundle holds no results"));
            return;
        }
        compareTables(now);
        report_.verdict =
            report_.results->same() && report_.tables.empty() ? BundleVerdict::same : BundleVerdict::differs;
    }

    void compareTables(std::map<std::string_view, const BundleFile*>& now) {
        for (const BundleFile& was : kept_) {
            if (!isInBundleFolder(was.name, bundleTablesFolder)) {
                continue;
            }
            ++report_.tablesCompared;
            const auto found = now.find(was.name);
            if (found == now.end()) {
                report_.tables.push_back({was.name, "is not made by this program"});
            } else if (found->second->bytes != was.bytes) {
                report_.tables.push_back({was.name, firstDifference(was.bytes, found->second->bytes)});
            }
        }
        for (const auto& made : now) {
            const bool was = std::any_of(kept_.begin(), kept_.end(),
                                         [&made](const BundleFile& kept) { return kept.name == made.first; });
            if (!was && report_.results->sameSoftware()) {
                report_.tables.push_back({std::string{made.first}, "is not in the bundle"});
            }
        }
    }

    void fault(std::string file, BundleFault kind, std::string what) {
        report_.files.push_back({std::move(file), kind, std::move(what)});
    }

    bool tell(double fraction, std::string_view stage) {
        if (progress_ && !report_.stopped && !progress_(fraction, stage)) {
            report_.stopped = true;
            report_.problems.push_back(problemAt({}, 0, {}, "the check was stopped"));
        }
        return !report_.stopped;
    }

    const Progress& own() {
        if (!own_) {
            own_ = [this](double fraction, std::string_view stage) { return tell(fraction, stage); };
        }
        return own_;
    }

    const Progress& progress_;
    const BundleLimits& limits_;
    Progress own_;
    BundleReport report_;
    std::vector<BundleFile> kept_;
};

}  // namespace

BundleReport checkBundle(const std::filesystem::path& bundle, const Progress& progress,
                         const BundleLimits& limits) {
    return Checking{progress, limits}.check(bundle);
}

}  // namespace aftercurve
