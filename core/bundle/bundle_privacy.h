#pragma once

#include <span>
#include <vector>

#include "core/base/problem.h"
#include "core/bundle/bundle_file.h"

namespace aftercurve {

/// A warning for each column of a CSV file, and each key of study.json, whose name looks as if it identified
/// people (core/files/privacy_columns.h), also where the program does not read it: a bundle holds whole
/// files. Files below study/ count as CSV whatever their ending, but for JSON. What stands in the cells, in
/// remarks and in ledger.jsonl is not judged.
std::vector<Problem> personalColumnsOf(std::span<const BundleFile> files);

}  // namespace aftercurve
