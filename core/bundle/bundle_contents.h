#pragma once

#include <string>
#include <vector>

#include "core/base/result.h"
#include "core/bundle/bundle_file.h"
#include "core/findings/findings.h"
#include "core/study/study.h"

namespace aftercurve {

/// What a person says of a bundle.
struct BundleFacts {
    std::string date;     ///< ISO 8601
    std::string creator;  ///< code of a person, no name; empty: not given
    std::string licence;  ///< text of the licence; empty: none was chosen
};

/// The facts' first fault: no date or a wrong one, a creator of more than 100 bytes or with blanks, "@" or
/// control characters, a licence past 1 MiB, not UTF-8 or with NUL bytes. Empty: none.
std::string faultOf(const BundleFacts& facts);

/// findings/results.json, tables/ and recompute/ (write_results.h).
std::vector<BundleFile> bundleResultFiles(const Study& study, const Findings& findings);

/// The whole bundle: `files` with README.txt, LICENCE.txt and manifest.json, sorted by name. The same
/// arguments give the same bytes. Fails for faulty facts, a name that cannot stand in a bundle or stands
/// twice, a title that is not UTF-8, and what is past the bounds of reading.
Result<std::vector<BundleFile>> completeBundle(std::vector<BundleFile> files, const Study& study,
                                               const BundleFacts& facts);

}  // namespace aftercurve
