#pragma once

#include <span>
#include <vector>

#include "core/edit/save_study.h"
#include "core/files/ledger.h"

namespace aftercurve {

/// The entries of the ledger for changes made one after the other to the study `was`. Each names its place as
/// it was at that moment; a change that does not fit `was` any more, and those after it, name the table and
/// the column alone.
std::vector<LedgerEntry> ledgerEntriesFor(Study was, std::span<const MadeChange> changes);

}  // namespace aftercurve
