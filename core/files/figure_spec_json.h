#pragma once

#include <filesystem>
#include <span>
#include <string>
#include <string_view>
#include <vector>

#include "core/base/result.h"
#include "core/figure/figure_spec.h"
#include "core/files/json_object.h"

namespace aftercurve {

// Figures as text: the list "figures" of study.json, and a file of their own (docs/formats.md).

/// The list "figures" of an object. What `validate` finds wrong is reported as fatal under its path.
std::vector<FigureSpec> figuresFrom(const JsonObject& root);

/// Makes root["figures"] say the same: keys that this program does not know stay in a figure of the same id,
/// in its panels of the same place and kind. An empty list takes the key away.
void putFigures(std::span<const FigureSpec> figures, Json& root);

/// A file of figures for any study: {"format": "aftercurve-figures", "version": 1, "figures": [...]}. At most
/// 4 MB. Warnings (`problems`) do not keep it from being read; the failure is the first fatal one.
struct FigureFile {
    std::vector<FigureSpec> figures;
    std::vector<Problem> problems;
};
Result<FigureFile> figureFileFrom(std::string_view bytes, const std::string& name);
Result<FigureFile> readFigureFile(const std::filesystem::path& file);

/// The text of such a file. Fails where a text is not UTF-8.
Result<std::string> figureFileText(std::span<const FigureSpec> figures);
Result<Done> writeFigureFile(const std::filesystem::path& file, std::span<const FigureSpec> figures);

}  // namespace aftercurve
