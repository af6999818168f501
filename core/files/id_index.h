#pragma once

#include <cstdint>
#include <optional>
#include <string>
#include <string_view>
#include <unordered_map>

namespace aftercurve {

/// Finds the position of an id without making a string of it.
class IdIndex {
  public:
    std::optional<std::uint32_t> find(std::string_view id) const {
        const auto found = positions_.find(id);
        return found == positions_.end() ? std::nullopt : std::optional{found->second};
    }
    /// False where the id was there before.
    bool add(std::string_view id, std::uint32_t position) { return positions_.emplace(id, position).second; }

  private:
    struct Hash {
        using is_transparent = void;
        std::size_t operator()(std::string_view id) const { return std::hash<std::string_view>{}(id); }
    };
    std::unordered_map<std::string, std::uint32_t, Hash, std::equal_to<>> positions_;
};

}  // namespace aftercurve
