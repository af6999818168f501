#pragma once

#include <cstdint>
#include <optional>
#include <string>
#include <string_view>

#include "core/intake/mapping.h"

namespace aftercurve {

enum class SensorClockFault {
    none,
    unreadable,  ///< no day with a time of day
    needsOrder,  ///< day and month stand in an order that was not stated
};

/// A time stamp as the local clock showed it, in seconds since 1970-01-01 00:00 of that clock.
struct SensorClock {
    std::int64_t second = 0;
    bool offsetIgnored = false;  ///< "Z" or "+02:00" stood behind it; the clock is taken as written
    SensorClockFault fault = SensorClockFault::none;
};

/// Reads "2026-03-02T08:05", "2026-03-02 08:05:30" (parts of a second are dropped), and, in the order that is
/// stated, "2.3.2026 8:05" or "03/02/26 8:05 am".
SensorClock readSensorClock(std::string_view text, std::optional<DateOrder> order);

/// "2026-03-02 08:05"; seconds only where there are any.
std::string sensorClockText(std::int64_t second);

/// "2026-03-02".
std::string sensorDateText(std::int64_t second);

/// "08:05"; seconds only where there are any.
std::string sensorTimeOfDayText(std::int64_t second);

}  // namespace aftercurve
