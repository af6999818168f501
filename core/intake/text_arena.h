#pragma once

#include <cstddef>
#include <cstring>
#include <memory>
#include <string_view>
#include <vector>

namespace aftercurve {

/// Keeps short texts together until it is cleared; what it gave stays where it is until then.
class TextArena {
  public:
    std::string_view keep(std::string_view text) {
        if (text.size() > blockBytes / 4) {
            large_.push_back(std::make_unique_for_overwrite<char[]>(text.size()));
            std::memcpy(large_.back().get(), text.data(), text.size());
            return {large_.back().get(), text.size()};
        }
        if (blocks_.empty() || used_ + text.size() > blockBytes) {
            block_ = blocks_.empty() ? 0 : block_ + 1;
            used_ = 0;
            if (block_ == blocks_.size()) {
                blocks_.push_back(std::make_unique_for_overwrite<char[]>(blockBytes));
            }
        }
        char* const begin = blocks_[block_].get() + used_;
        if (!text.empty()) {
            std::memcpy(begin, text.data(), text.size());
        }
        used_ += text.size();
        return {begin, text.size()};
    }

    /// Forgets all texts; the blocks are used again.
    void clear() {
        large_.clear();
        block_ = 0;
        used_ = 0;
    }

  private:
    static constexpr std::size_t blockBytes = std::size_t{64} << 10;

    std::vector<std::unique_ptr<char[]>> blocks_;
    std::vector<std::unique_ptr<char[]>> large_;
    std::size_t block_ = 0;
    std::size_t used_ = 0;
};

}  // namespace aftercurve
