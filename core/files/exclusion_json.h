#pragma once

#include <span>

#include "core/files/json_object.h"
#include "core/study/study.h"

namespace aftercurve {

/// What an exclusion is said to rest on where study.json gives no reason.
inline constexpr const char* noReasonGiven = "no reason given";

/// One entry of "exclusions". A missing reason is a warning; an entry that names nothing would take out the
/// whole study and is fatal. So is one that names something of a subject and of the laboratory, or a method
/// with a run or time.
Exclusion exclusionFrom(const JsonObject& object);

/// One entry of "accepted". Fatal: no check named, no reason given.
Acceptance acceptanceFrom(const JsonObject& object);

/// Makes root["accepted"] say `accepted`, in the same manner as putExclusions.
void putAcceptances(std::span<const Acceptance> accepted, Json& root);

/// Makes root["exclusions"] say `exclusions`. Entries that already say the same keep their other keys.
void putExclusions(std::span<const Exclusion> exclusions, Json& root);

}  // namespace aftercurve
