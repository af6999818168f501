#pragma once

#include <cstddef>

#include "core/files/json_object.h"
#include "core/study/study.h"

namespace aftercurve {

inline constexpr std::size_t mostAssaySamples = 100;

/// The object "assays" of study.json, without its readings. Fatal: a wrong type, no "file", more than 100
/// samples, and whatever validate(AssayData) finds. A food that is not in the study is a warning.
AssayData assaysFrom(const JsonObject& object, const Study& study);

/// The settings of that object: all but its file and samples. Fatal: a wrong type, a word that is not known.
void readAssaySettings(const JsonObject& object, AssayData& assays);

/// Makes an object say the settings of `assays`; a key that is not there is added where it says another than
/// the usual.
void putAssaySettings(const AssayData& assays, Json& object);

/// All settings of `assays` but a last_min that is not given.
Json everyAssaySetting(const AssayData& assays);

/// Makes root["assays"] say `assays`, its readings apart; keys that this program does not know stay, on the
/// object and on samples of the same id. Without a file and samples the key is taken away.
void putAssays(const AssayData& assays, Json& root);

}  // namespace aftercurve
