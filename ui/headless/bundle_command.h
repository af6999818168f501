#pragma once

#include <filesystem>
#include <iosfwd>
#include <optional>
#include <string>

#include "core/base/result.h"
#include "ui/headless/commands.h"

namespace aftercurve {

struct BundleArguments {
    std::filesystem::path study;
    std::filesystem::path out;  ///< a zip file where it ends with ".zip", else a folder
    std::string licence;        ///< text, or path of a text file; empty: none chosen
    std::string date;           ///< ISO 8601
    std::string creator;        ///< code of a person; may be empty
    bool anyway = false;        ///< although columns look as if they named people
};

/// Writes a bundle (core/bundle/bundle_contents.h) and prints what it holds to `out`. Exit::usage: a wrong
/// date, creator or licence, or columns that look as if they named people without `anyway`; Exit::unreadable:
/// the study cannot be read or the bundle cannot be written; Exit::partly: as runAnalyse, the bundle is
/// written. Needs a QApplication.
Exit runBundle(const BundleArguments& arguments, std::ostream& out, std::ostream& messages, bool terminal);

/// Checks a bundle (core/bundle/bundle_check.h) and prints the report to `out`; with `json` it is written
/// there too. Exit::done: the same; Exit::partly: other findings; Exit::unreadable: not as its manifest says,
/// or not to be read.
Exit runVerify(const std::filesystem::path& bundle, const std::filesystem::path& json, std::ostream& out,
               std::ostream& messages, bool terminal);

/// The text of a licence: that of the file of this name where there is one, else `given` itself. Fails where
/// the file cannot be read, and where `given` reads like the name of a file that is not there.
Result<std::string> licenceFrom(const std::string& given);

}  // namespace aftercurve
