#pragma once

#include <zip.h>

#include <cstddef>
#include <cstdint>
#include <memory>
#include <optional>
#include <span>
#include <string>
#include <string_view>

#include "core/base/result.h"
#include "core/intake/source.h"

namespace aftercurve {

/// Most parts that the archive of a workbook may have.
inline constexpr std::size_t largestPartCount = 10'000;

/// One part of a workbook, expanded piece by piece; nothing is ever written to disk. Must not outlive its
/// archive.
class PartStream {
  public:
    /// Fills `into` as far as there is more; 0 at the end. Fails where the data are damaged or where more
    /// comes out than the limit, whatever size the archive declares.
    Result<std::size_t> read(std::span<char> into);
    /// Share read of the size that the archive declares, at most 1.
    double share() const;

  private:
    friend class WorkbookArchive;
    struct Closer {
        void operator()(zip_file_t* file) const { zip_fclose(file); }
    };
    std::unique_ptr<zip_file_t, Closer> file_;
    std::string fileName_;
    std::string part_;
    std::uintmax_t declared_ = 0;
    std::uintmax_t limit_ = 0;
    std::uintmax_t count_ = 0;
};

/// The zip archive of a workbook, read from memory.
class WorkbookArchive {
  public:
    /// `bytes` must outlive the archive. Fails for: no readable directory (truncated), too many parts, a part
    /// protected by a password, a part that declares more than limits.expandedBytes or, from 32 MiB on, more
    /// than 500 times its packed size.
    static Result<WorkbookArchive> open(std::string_view bytes, std::string_view file,
                                        const IntakeLimits& limits);

    bool has(const std::string& part) const;
    Result<PartStream> stream(const std::string& part) const;

  private:
    struct Closer {
        void operator()(zip_t* archive) const { zip_discard(archive); }
    };
    std::optional<Problem> faultOfParts(const IntakeLimits& limits) const;

    std::unique_ptr<zip_t, Closer> archive_;
    std::string file_;
    std::uintmax_t expandedBytes_ = 0;
};

/// Where a relationship of a part in `folder` ("xl") leads: "worksheets/sheet1.xml" to
/// "xl/worksheets/sheet1.xml", "/xl/styles.xml" to "xl/styles.xml". Nothing where it leaves the archive.
std::optional<std::string> partName(std::string_view folder, std::string_view target);

/// A problem of a workbook that is not as the format has it, with what to do.
Problem damagedWorkbook(std::string_view file, std::string what);

}  // namespace aftercurve
