#pragma once

#include <cstdint>
#include <string>
#include <string_view>
#include <vector>

#include "core/intake/workbook_archive.h"
#include "core/intake/workbook_xml.h"

namespace aftercurve {

/// Texts that the cells of a workbook share, by index.
class SharedStrings {
  public:
    std::size_t size() const { return ends_.size(); }
    std::string_view at(std::size_t index) const {
        const std::size_t begin = index == 0 ? 0 : ends_[index - 1];
        return std::string_view{text_}.substr(begin, ends_[index] - begin);
    }

    /// Most that a workbook may share: 256 MiB in 10 million texts.
    static constexpr std::size_t largestTextBytes = std::size_t{256} << 20;
    static constexpr std::size_t largestCount = 10'000'000;

    static Result<SharedStrings> read(const WorkbookArchive& archive, const std::string& part,
                                      std::string_view file, const XmlBounds& bounds);

  private:
    std::string text_;
    std::vector<std::uint32_t> ends_;
};

}  // namespace aftercurve
