#pragma once

#include <gtest/gtest.h>

#include <array>
#include <string>

#include "core/intake/workbook_archive.h"

namespace aftercurve::test {

/// One part of an archive in memory, expanded.
inline std::string partOf(const std::string& bytes, const std::string& name) {
    const auto archive = WorkbookArchive::open(bytes, "archive", {});
    if (!archive) {
        ADD_FAILURE() << archive.problem().what;
        return {};
    }
    auto stream = archive.value().stream(name);
    if (!stream) {
        ADD_FAILURE() << stream.problem().what;
        return {};
    }
    PartStream part = std::move(stream).value();
    std::string text;
    std::array<char, 4096> buffer{};
    for (auto got = part.read(buffer); got && got.value() > 0; got = part.read(buffer)) {
        text.append(buffer.data(), got.value());
    }
    return text;
}

}  // namespace aftercurve::test
