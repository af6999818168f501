#pragma once

#include <cassert>
#include <utility>
#include <variant>

#include "core/base/problem.h"

namespace aftercurve {

/// A value, or the problem that kept it from being made. For failures that are expected (files, plans,
/// units); a broken precondition is an assertion instead. A caller cannot drop it unread.
template <class T>
class [[nodiscard]] Result {
  public:
    Result(T value) : held_(std::in_place_index<0>, std::move(value)) {}
    Result(Problem problem) : held_(std::in_place_index<1>, std::move(problem)) {}

    bool ok() const { return held_.index() == 0; }
    explicit operator bool() const { return ok(); }

    const T& value() const& {
        assert(ok());
        return *std::get_if<0>(&held_);
    }
    T&& value() && {
        assert(ok());
        return std::move(*std::get_if<0>(&held_));
    }
    const Problem& problem() const {
        assert(!ok());
        return *std::get_if<1>(&held_);
    }

  private:
    std::variant<T, Problem> held_;
};

/// Result of an action that yields nothing but success.
struct Done {};

}  // namespace aftercurve
