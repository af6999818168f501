#include "core/bundle/bundle_manifest.h"

#include <algorithm>
#include <optional>
#include <utility>

#include "core/files/excerpt.h"
#include "core/files/json_text.h"
#include "core/files/problem_list.h"
#include "core/files/sha256.h"
#include "core/files/text_check.h"
#include "core/files/visits_csv.h"

namespace aftercurve {

namespace {

constexpr int bundleVersion = 1;
constexpr int manifestDepth = 8;
constexpr const char* format = "aftercurve-bundle";

Problem refused(std::string what) {
    return problemAt(bundleManifestName, 0, {}, std::move(what),
                     "get the bundle anew from where it is deposited");
}

Json manifestJson(const BundleManifest& manifest) {
    Json json;
    json["format"] = format;
    json["version"] = bundleVersion;
    json["software"] = {{"version", manifest.softwareVersion}, {"revision", manifest.softwareRevision}};
    json["date"] = manifest.date;
    json["creator"] = manifest.creator.empty() ? Json(nullptr) : Json(manifest.creator);
    json["title"] = manifest.title;
    json["licence_chosen"] = manifest.licenceChosen;
    json["plan_sha256"] = manifest.planSha256;
    json["files"] = Json::array();
    for (const BundleEntry& entry : manifest.files) {
        json["files"].push_back({{"file", entry.file}, {"bytes", entry.bytes}, {"sha256", entry.sha256}});
    }
    return json;
}

std::string textOf(const Json& json) {
    return json.dump(1, ' ', false, Json::error_handler_t::replace) + "\n";
}

bool isSha256(std::string_view text) {
    return text.size() == 64 && std::all_of(text.begin(), text.end(), [](char c) {
               return (c >= '0' && c <= '9') || (c >= 'a' && c <= 'f');
           });
}

/// The text under `key`; nothing where it is missing or no text.
std::optional<std::string> textAt(const Json& json, const char* key) {
    const auto found = json.find(key);
    return found != json.end() && found->is_string() ? std::optional(found->get<std::string>())
                                                     : std::nullopt;
}

Result<BundleEntry> entryFrom(const Json& json) {
    const auto name = json.is_object() ? textAt(json, "file") : std::nullopt;
    if (!name) {
        return refused("an entry of \"files\" has no name");
    }
    if (const auto fault = faultOfBundleName(*name)) {
        return refused("the name " + quote(*name) + " cannot stand in a bundle: " + *fault);
    }
    const auto sha256 = textAt(json, "sha256");
    const auto bytes = json.find("bytes");
    if (!sha256 || !isSha256(*sha256) || bytes == json.end() || !bytes->is_number_unsigned()) {
        return refused("the entry " + quote(*name) + " has no size or no SHA-256");
    }
    return BundleEntry{*name, bytes->get<std::uintmax_t>(), *sha256};
}

Result<BundleManifest> manifestFrom(const Json& json, const BundleLimits& limits) {
    if (!json.is_object() || textAt(json, "format") != format) {
        return refused("the manifest is not that of a bundle");
    }
    const auto version = json.find("version");
    if (version == json.end() || !version->is_number_integer() || *version != bundleVersion) {
        return refused("the bundle is of another version than " + std::to_string(bundleVersion) +
                       ", which this program reads");
    }
    const auto software = json.find("software");
    const auto files = json.find("files");
    const auto chosen = json.find("licence_chosen");
    const auto date = textAt(json, "date");
    const auto title = textAt(json, "title");
    const auto plan = textAt(json, "plan_sha256");
    const bool whole = software != json.end() && software->is_object() && textAt(*software, "version") &&
                       textAt(*software, "revision") && files != json.end() && files->is_array() &&
                       chosen != json.end() && chosen->is_boolean() && date && isIsoDate(*date) && title &&
                       plan && isSha256(*plan);
    if (!whole) {
        return refused("the manifest lacks a key, or a key has the wrong type");
    }
    if (files->size() > limits.files) {
        return refused("the manifest lists more than the " + std::to_string(limits.files) +
                       " files that are read");
    }
    BundleManifest manifest;
    manifest.softwareVersion = *textAt(*software, "version");
    manifest.softwareRevision = *textAt(*software, "revision");
    manifest.date = *date;
    manifest.creator = textAt(json, "creator").value_or("");
    manifest.title = *title;
    manifest.licenceChosen = chosen->get<bool>();
    manifest.planSha256 = *plan;
    for (const Json& file : *files) {
        auto entry = entryFrom(file);
        if (!entry) {
            return entry.problem();
        }
        if (!manifest.files.empty() && manifest.files.back().file >= entry.value().file) {
            return refused("the names of the manifest are not sorted, or one stands twice: " +
                           quote(entry.value().file));
        }
        manifest.files.push_back(std::move(entry).value());
    }
    return manifest;
}

}  // namespace

std::vector<BundleEntry> bundleEntriesOf(std::span<const BundleFile> files) {
    std::vector<BundleEntry> entries;
    entries.reserve(files.size());
    for (const BundleFile& file : files) {
        entries.push_back({file.name, file.bytes.size(), sha256Hex(file.bytes)});
    }
    std::sort(entries.begin(), entries.end(),
              [](const BundleEntry& a, const BundleEntry& b) { return a.file < b.file; });
    return entries;
}

std::string bundleManifestText(const BundleManifest& manifest) {
    Json json = manifestJson(manifest);
    const std::string hash = sha256Hex(textOf(json));
    json["manifest_sha256"] = hash;
    return textOf(json);
}

Result<BundleManifest> readBundleManifest(std::string_view bytes, const BundleLimits& limits) {
    const auto text = checkedText(bytes, bundleManifestName);
    if (!text) {
        return text.problem();
    }
    const auto json = parseJson(text.value(), bundleManifestName, manifestDepth);
    if (!json) {
        return json.problem();
    }
    auto manifest = manifestFrom(json.value(), limits);
    if (manifest && bundleManifestText(manifest.value()) != bytes) {
        return refused("the manifest was changed after it was written: its SHA-256 or its form does not fit");
    }
    return manifest;
}

}  // namespace aftercurve
