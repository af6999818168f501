#pragma once

#include <filesystem>
#include <functional>
#include <span>
#include <string>
#include <string_view>
#include <vector>

#include "core/base/result.h"
#include "core/findings/findings.h"
#include "core/study/study.h"
#include "ui/export/figure_export.h"

namespace aftercurve {

/// One figure that was written.
struct WrittenFigure {
    std::string title;               ///< for people: "Mean curves: Glucose"
    std::string svg;                 ///< text of its SVG file
    std::vector<std::string> files;  ///< names in the folder
};

/// Writes every figure that this study has, for each analyte, as SVG, PDF and PNG (300 dpi) into `folder`,
/// which is made where it does not exist; each file is written whole or not at all. Names:
/// `<key>_<analyte>.<ending>`, `portions.<ending>` (of the foods, not of an analyte), and
/// `comparison_paired_<analyte>_<food>.<ending>` for each comparison of the plan's measure; anything but
/// letters, digits and hyphens in an id becomes a hyphen, and ids that then coincide get "-2", "-3" ...
/// `report` (may be empty) is told the share done. Fails with the first file that cannot be written.
Result<std::vector<WrittenFigure>> writeFigures(const Study& study, const Findings& findings,
                                                const std::filesystem::path& folder,
                                                const std::function<void(double fraction)>& report = {});

/// Draws the same figures in the formats named and hands each file to `take`, which may refuse it. `report`
/// (may be empty) is told the share done before each figure and answers false to stop; that is the failure
/// "cancelled".
Result<std::vector<WrittenFigure>> drawFigures(
    const Study& study, const Findings& findings, std::span<const FigureFormat> formats,
    const std::function<Result<Done>(const std::string& name, const std::string& bytes)>& take,
    const std::function<bool(double fraction)>& report = {});

/// An id as part of a file name: only a-z, 0-9 and hyphens; "x" where nothing is left.
std::string fileNamePart(std::string_view id);

}  // namespace aftercurve
