#include "ui/window/start_clock.h"

#ifdef __linux__
#include <time.h>
#include <unistd.h>

#include <fstream>
#include <sstream>
#include <string>
#endif

namespace aftercurve {

std::optional<double> millisecondsSinceProcessStart() {
#ifdef __linux__
    std::ifstream file("/proc/self/stat");
    std::string text;
    std::getline(file, text);
    // The second field is the name in brackets and may hold spaces; the start time is field 22, in ticks
    // since boot.
    const auto nameEnd = text.rfind(')');
    if (nameEnd == std::string::npos) {
        return std::nullopt;
    }
    std::istringstream fields(text.substr(nameEnd + 1));
    std::string field;
    for (int number = 3; number <= 22; ++number) {
        fields >> field;
    }
    timespec now{};
    if (!fields || clock_gettime(CLOCK_BOOTTIME, &now) != 0) {
        return std::nullopt;
    }
    const double nowMs = static_cast<double>(now.tv_sec) * 1e3 + static_cast<double>(now.tv_nsec) / 1e6;
    return nowMs - std::stod(field) * 1e3 / static_cast<double>(sysconf(_SC_CLK_TCK));
#else
    return std::nullopt;
#endif
}

}  // namespace aftercurve
