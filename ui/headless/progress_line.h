#pragma once

#include <chrono>
#include <iosfwd>
#include <string_view>

namespace aftercurve {

/// A line of progress for work that takes longer than half a second: rewritten in place on a terminal, a line
/// each 10 % elsewhere. Says nothing for short work.
class ProgressLine {
  public:
    ProgressLine(std::ostream& out, bool terminal);
    ~ProgressLine();
    ProgressLine(const ProgressLine&) = delete;
    ProgressLine& operator=(const ProgressLine&) = delete;

    void report(double fraction, std::string_view stage);

  private:
    using Clock = std::chrono::steady_clock;

    std::ostream& out_;
    bool terminal_;
    Clock::time_point start_ = Clock::now();
    int shownPercent_ = -1;
};

}  // namespace aftercurve
