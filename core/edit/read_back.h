#pragma once

#include <optional>
#include <span>
#include <string>
#include <string_view>

#include "core/base/result.h"
#include "core/study/study.h"

namespace aftercurve {

inline constexpr const char* studyFileName = "study.json";

/// A file of a study in memory; `bytes` must outlive what is made of it.
struct StudyFile {
    std::string name;
    std::string_view bytes;
};

/// The study that these files hold, as readStudyFolder would read them from a folder; study.json among them.
/// Fails with the first reason where they hold none.
Result<Study> studyIn(std::span<const StudyFile> files);

/// The study that files about to be written will be read as. Fails where one is larger than what is read, or
/// where it is not `wanted`, naming the difference: such files must not be written.
Result<Study> readBackAs(const Study& wanted, std::span<const StudyFile> files);

/// What differs between a study and what its files would be read as: "the subjects", "the concentrations of
/// glucose", ...; nothing where only the places of rows, the inputs and the text of study.json do. A
/// concentration may be off by the rounding of a unit's conversion, at most 1 part in 1e14.
std::optional<std::string> differenceBetween(const Study& study, const Study& read);

}  // namespace aftercurve
