#pragma once

#include <string>
#include <string_view>

#include "core/base/result.h"
#include "core/files/ledger.h"

namespace aftercurve {

/// One line of the ledger, without its line end, after a line of hash `previous`.
Result<std::string> ledgerLineFor(const LedgerEntry& entry, const std::string& previous);

/// The entry that a line holds; its problem's `what` says why there is none. Keys that are not known are
/// ignored.
Result<LedgerEntry> ledgerEntryFrom(std::string_view line);

}  // namespace aftercurve
