#pragma once

#include <string_view>

#include "core/files/problem_list.h"
#include "core/sensor/sensor_readings.h"

namespace aftercurve {

/// Puts a trace in order of time, given its readings in the order of the file. A step back in time by at most
/// 3 h, after which at least three readings rise through the stretch already passed without repeating it, is
/// a clock set back (SensorTrace::clockBack); where more than one reading in a hundred (and more than four)
/// goes back the file is unsorted, and clocks set back cannot be told. Of equal readings at one time one
/// stays; readings that differ at one time all go.
void orderSensorTrace(SensorTrace& trace, std::string_view file, ProblemList& problems);

}  // namespace aftercurve
