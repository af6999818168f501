#pragma once

#include <optional>

namespace aftercurve {

/// Milliseconds since the operating system started this process; absent where the system does not say. A
/// measuring aid for --measure-start; resolution that of the system's clock tick (10 ms on Linux).
std::optional<double> millisecondsSinceProcessStart();

}  // namespace aftercurve
