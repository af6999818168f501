#pragma once

#include <filesystem>
#include <functional>
#include <span>
#include <string>
#include <vector>

#include "core/base/result.h"
#include "core/findings/findings.h"
#include "core/study/study.h"
#include "ui/export/figure_export.h"
#include "ui/figures/default_figures.h"

namespace aftercurve {

/// One figure that was written.
struct WrittenFigure {
    std::string title;               ///< for people: "Mean curves: Glucose"
    std::string svg;                 ///< text of its SVG file
    std::vector<std::string> files;  ///< names in the folder
};

/// Writes the figures of the study (figuresOf) as SVG, PDF and PNG (300 dpi) into `folder`, which is made
/// where it does not exist; each file is written whole or not at all. Names: `<id>.<ending>`.
/// `report` (may be empty) is told the share done. Fails with the first file that cannot be written.
Result<std::vector<WrittenFigure>> writeFigures(const Study& study, const Findings& findings,
                                                const std::filesystem::path& folder,
                                                const std::function<void(double fraction)>& report = {});

/// Draws figures in the formats named, and hands each file to `take`, which may refuse it. `dpi` is that of
/// PNG and TIFF.
struct FigureRun {
    std::span<const FigureSpec> figures;
    std::span<const FigureFormat> formats;
    int dpi = 300;
};
Result<std::vector<WrittenFigure>> drawFigures(
    const FigureRun& run, const Study& study, const Findings& findings,
    const std::function<Result<Done>(const std::string& name, const std::string& bytes)>& take,
    const std::function<bool(double fraction)>& report = {});

/// Draws the figures of the study (figuresOf) in the formats named and hands each file to `take`, which may
/// refuse it. `report` (may be empty) is told the share done before each figure and answers false to stop;
/// that is the failure "cancelled".
Result<std::vector<WrittenFigure>> drawFigures(
    const Study& study, const Findings& findings, std::span<const FigureFormat> formats,
    const std::function<Result<Done>(const std::string& name, const std::string& bytes)>& take,
    const std::function<bool(double fraction)>& report = {});

}  // namespace aftercurve
