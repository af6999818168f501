#pragma once

#include <QString>
#include <span>
#include <vector>

#include "core/edit/edit.h"
#include "core/edit/save_study.h"
#include "core/files/ledger.h"

namespace aftercurve {

/// Who changes the study, and why; both go into the ledger with every change.
struct Authorship {
    QString by;
    QString why;
};

/// The changes since the last save, in the order in which they happened. A change that is taken back before
/// it was saved leaves; one that was saved before is taken back by a change of its own.
class Journal {
  public:
    /// Notes the changes of one step. `before` is the study as it was before the first of them.
    void add(const Study& before, std::span<const Change> changes, int step, const Authorship& author,
             const std::string& on);
    /// Takes the changes of the newest step away where it is `step` and not saved yet; else false.
    bool takeAway(int step);
    void clear() { entries_.clear(); }

    bool isEmpty() const { return entries_.empty(); }
    std::vector<MadeChange> changes() const;

  private:
    struct Entry {
        MadeChange change;
        int step = 0;
    };
    std::vector<Entry> entries_;
};

/// What stands where a change will be made, for the ledger: the text of the cell, the cells of the row, the
/// entries of the list.
std::string textAt(const Study& study, const Change& change);

/// Whether an unsaved change concerns the cell that `place` names. `study` is the study as it stands.
bool concerns(const Study& study, const MadeChange& change, const LedgerPlace& place);

}  // namespace aftercurve
