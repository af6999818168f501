#pragma once

#include <cstddef>
#include <string>
#include <string_view>
#include <vector>

#include "core/base/problem.h"
#include "core/check/check_input.h"

namespace aftercurve {

/// Problems of one check that are listed one by one; common practice, no source.
inline constexpr std::size_t listedProblems = 50;

/// Gathers the problems of one check and keeps their number bounded: the first `listedProblems` open ones,
/// and as many for each acceptance, are listed; one more line counts the rest.
class Found {
  public:
    Found(const CheckInput& input, std::string_view key) : input_(input), key_(key) {}

    /// `make` gives the problem; it is not called where the problem would only be counted.
    template <class Make>
    void add(Severity severity, Make make) {
        if (open_ >= listedProblems && !mayBeAccepted()) {
            count(severity);
            return;
        }
        put(severity, make());
    }

    std::vector<Problem> take();

  private:
    bool mayBeAccepted();
    void put(Severity severity, Problem problem);
    void count(Severity severity);

    const CheckInput& input_;
    std::string key_;
    std::vector<Problem> problems_;
    std::size_t open_ = 0;
    std::size_t more_ = 0;
    Severity worst_ = Severity::note;
    std::vector<std::size_t> kept_;  ///< by acceptance
};

/// A problem with its place filled in, and the begin of what it says: "subject 07, oats, visit 1",
/// "subject 07, oats, visit 1, glucose", "subject 07, oats, visit 1, glucose, 30 min". Row and file are those
/// of the visit's first row, the curve's first row and the sample's row.
Problem problemAt(const CheckInput& input, const CheckVisit& visit);
Problem problemAt(const CheckInput& input, const CheckCurve& curve);
Problem problemAt(const CheckInput& input, const CheckCurve& curve, const CheckSample& sample);

/// The same for one row: "subject 07, oats, visit 1, 30 min".
Problem problemAtDraw(const CheckInput& input, std::uint32_t draw);

/// The same for a row of the visits file: "subject 07, oats, visit 1".
Problem problemAtRecord(const CheckInput& input, const VisitRecord& record);

/// "7.1 mmol/L": at most four significant digits, for what was computed.
std::string amount(double value, std::string_view unit);

/// "7.1234 mmol/L": as it was typed.
std::string typed(double value, std::string_view unit);

}  // namespace aftercurve
