#pragma once

#include <cstddef>

namespace aftercurve {

/// Asks the system to back memory that is about to be filled with large pages where it can: touching tens of
/// megabytes for the first time, 4 KiB a fault, takes about as long as reading the numbers into them. A hint;
/// nothing depends on it, and blocks of less than some megabytes are left alone.
void preferLargePages(void* data, std::size_t bytes);

}  // namespace aftercurve
