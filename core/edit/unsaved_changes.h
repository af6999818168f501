#pragma once

#include <string>
#include <string_view>

#include "core/base/result.h"
#include "core/edit/edit.h"

namespace aftercurve {

/// A change as one JSON object in one line, for the log of unsaved edits (core/files/recovery_log.h). To see
/// a recovery through, apply each change of the log to the study as it was read, in their order.
///   {"change": "cell", "table": "samples", "row": 3, "column": 7, "text": "7.1"}
///   {"change": "insert", "table": "visits", "row": 3, "cells": ["01", ...], "file": 0, "line": 14}
///   {"change": "remove", "table": "visits", "row": 3}
///   {"change": "title", "title": "..."}, and "plan", "exclusions", "accepted", "registered", "conduct" as in
///   study.json
///   {"change": "parts", "food": 2, "parts": [...]} likewise
std::string changeJson(const Change& change);

/// The change that such a text holds. Fails for anything else: not JSON, a key missing or of another type, a
/// kind or table that is not known, a list past the bounds of a study. Whether the change fits the study is
/// for `apply` to say.
Result<Change> changeFrom(std::string_view json);

}  // namespace aftercurve
