#pragma once

#include <cstdint>
#include <span>
#include <string>
#include <string_view>
#include <vector>

#include "core/base/result.h"
#include "core/bundle/bundle_file.h"

namespace aftercurve {

/// A file as the manifest lists it.
struct BundleEntry {
    std::string file;
    std::uintmax_t bytes = 0;
    std::string sha256;  ///< 64 lower-case hex digits

    bool operator==(const BundleEntry&) const = default;
};

/// What manifest.json says (docs/formats.md). The manifest does not list itself.
struct BundleManifest {
    std::string softwareVersion;
    std::string softwareRevision;
    std::string date;     ///< ISO 8601, as passed in
    std::string creator;  ///< code of a person; empty: not given
    std::string title;    ///< of the study
    bool licenceChosen = false;
    std::string planSha256;          ///< of the plan as registration.h writes it
    std::vector<BundleEntry> files;  ///< sorted by the bytes of their names, none twice

    bool operator==(const BundleManifest&) const = default;
};

/// Size and SHA-256 of each file, sorted by name.
std::vector<BundleEntry> bundleEntriesOf(std::span<const BundleFile> files);

/// The bytes of manifest.json. The same manifest gives the same bytes; the last key is the SHA-256 of the
/// text without that key, so that a slip in the manifest itself shows. It protects against mistakes, not
/// against forgery. Texts must be UTF-8.
std::string bundleManifestText(const BundleManifest& manifest);

/// Reads it. Fails for what is not JSON, another format, a newer version, a key that is missing or of the
/// wrong type, a name that faultOfBundleName refuses, names out of order or twice, more files than the limit,
/// and text that is not, byte for byte, what bundleManifestText writes.
Result<BundleManifest> readBundleManifest(std::string_view bytes, const BundleLimits& limits = {});

}  // namespace aftercurve
