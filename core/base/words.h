#pragma once

#include <array>
#include <cstddef>
#include <optional>
#include <string>
#include <string_view>
#include <utility>

namespace aftercurve {

/// The words of an enumeration as files write them, one an enumerator.
template <class Value, std::size_t n>
using Words = std::array<std::pair<Value, std::string_view>, n>;

/// The word of a value; empty where the list has none.
template <class Value, std::size_t n>
constexpr std::string_view wordIn(const Words<Value, n>& words, Value value) {
    for (const auto& [one, word] : words) {
        if (one == value) {
            return word;
        }
    }
    return {};
}

/// The value of a word; nothing where the list does not have it.
template <class Value, std::size_t n>
constexpr std::optional<Value> valueIn(const Words<Value, n>& words, std::string_view word) {
    for (const auto& [one, text] : words) {
        if (text == word) {
            return one;
        }
    }
    return std::nullopt;
}

/// The words for a message: "long, wide-by-time, ...".
template <class Value, std::size_t n>
std::string listOf(const Words<Value, n>& words) {
    std::string list;
    for (const auto& entry : words) {
        list += (list.empty() ? "" : ", ") + std::string{entry.second};
    }
    return list;
}

}  // namespace aftercurve
