#include "ui/headless/progress_line.h"

#include <ostream>

namespace aftercurve {

namespace {

constexpr std::chrono::milliseconds quietFor{500};
constexpr int stepOutsideTerminals = 10;

}  // namespace

ProgressLine::ProgressLine(std::ostream& out, bool terminal) : out_(out), terminal_(terminal) {}

ProgressLine::~ProgressLine() {
    if (terminal_ && shownPercent_ >= 0) {
        out_ << "\r\033[K" << std::flush;
    }
}

void ProgressLine::report(double fraction, std::string_view stage) {
    if (Clock::now() - start_ < quietFor) {
        return;
    }
    const int percent = static_cast<int>(100.0 * fraction);
    const int step = terminal_ ? 1 : stepOutsideTerminals;
    if (shownPercent_ >= 0 && percent < shownPercent_ + step) {
        return;
    }
    shownPercent_ = percent;
    if (terminal_) {
        out_ << "\r\033[K" << stage << ": " << percent << " %" << std::flush;
    } else {
        out_ << stage << ": " << percent << " %\n" << std::flush;
    }
}

}  // namespace aftercurve
