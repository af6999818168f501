#pragma once

#include <filesystem>
#include <stdexcept>
#include <string>
#include <utility>
#include <vector>

#include "core/bundle/bundle_contents.h"
#include "core/bundle/bundle_reader.h"
#include "core/bundle/bundle_study.h"

namespace aftercurve::test {

inline std::filesystem::path sampleStudy(const std::string& name) {
    return std::filesystem::path{TEST_SOURCE_ROOT} / "sample_studies" / name;
}

/// A bundle without what only the window's library can draw: one made-up figure and report stand for these.
inline std::vector<BundleFile> bundleOf(const std::filesystem::path& study) {
    auto files = bundleStudyFiles(study).value();
    const BundledStudy analysed = analyseBundledStudy(files, {});
    for (BundleFile& file : bundleResultFiles(*analysed.study, analysed.findings)) {
        files.push_back(std::move(file));
    }
    files.push_back({"figures/curves.svg", "<svg/>"});
    files.push_back({"figures/curves.pdf", "%PDF-1.4"});
    files.push_back({"report.html", "<html></html>"});
    return completeBundle(std::move(files), *analysed.study, {"2026-11-25", "AB", ""}).value();
}

inline BundleFile& fileOf(std::vector<BundleFile>& files, const std::string& name) {
    for (BundleFile& file : files) {
        if (file.name == name) {
            return file;
        }
    }
    throw std::out_of_range(name);
}

}  // namespace aftercurve::test
