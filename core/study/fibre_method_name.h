#pragma once

#include <string_view>

namespace aftercurve {

/// The number alone of an official method: "2009.01" of " AOAC 2009.01". Other names without the blanks
/// around them.
inline std::string_view bareMethodName(std::string_view name) {
    constexpr std::string_view body = "AOAC";
    const auto withoutBlanks = [](std::string_view text) {
        while (text.starts_with(' ')) {
            text.remove_prefix(1);
        }
        while (text.ends_with(' ')) {
            text.remove_suffix(1);
        }
        return text;
    };
    name = withoutBlanks(name);
    return name.starts_with(body) ? withoutBlanks(name.substr(body.size())) : name;
}

}  // namespace aftercurve
