#pragma once

#include <cstddef>
#include <string>
#include <string_view>
#include <vector>

#include "core/base/problem.h"

namespace aftercurve {

/// What a finding means for the reading. `fatal` is shown as an error, and no study comes of the reading.
enum class Weight { note, warning, error, fatal };

/// Problems in the order found, at most `limit` of them; the rest is counted in one last line. A heavier
/// problem takes the place of the last lighter one, so that the reason for a failure is never crowded out.
class ProblemList {
  public:
    explicit ProblemList(std::size_t limit) : limit_(limit) {}

    /// `make` gives the Problem; it is not called where there is no room for it, so that a file of millions
    /// of bad rows costs no text.
    template <class Make>
    void add(Weight weight, Make&& make) {
        if (makeRoom(weight)) {
            keep(weight, make());
        }
    }
    void add(Weight weight, Problem problem) {
        if (makeRoom(weight)) {
            keep(weight, std::move(problem));
        }
    }

    /// True once something fatal was added, listed or not.
    bool failed() const { return failed_; }

    /// The list, ended by a line for those without room.
    std::vector<Problem> take();

  private:
    bool makeRoom(Weight weight);
    void keep(Weight weight, Problem problem);

    struct Listed {
        Weight weight;
        Problem problem;
    };

    std::size_t limit_;
    std::vector<Listed> listed_;
    std::size_t unlisted_ = 0;
    Weight heaviestUnlisted_ = Weight::note;
    bool failed_ = false;
};

/// A problem with its place; `row` 0 and an empty `column` where they do not apply.
Problem problemAt(std::string_view file, std::size_t row, std::string_view column, std::string what,
                  std::string remedy = {});

}  // namespace aftercurve
