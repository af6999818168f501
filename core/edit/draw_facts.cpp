#include "core/edit/draw_facts.h"

#include <algorithm>
#include <tuple>

#include "core/base/number_text.h"

namespace aftercurve {

namespace {

template <class Entries>
auto entryAt(Entries& entries, std::uint32_t draw, std::uint32_t analyte) {
    return std::lower_bound(entries.begin(), entries.end(), std::tuple{draw, analyte},
                            [](const auto& entry, const auto& key) {
                                return std::tuple{entry.draw, entry.analyte} < key;
                            });
}

/// Takes the entry of a cell out of a list, or puts it in, or in the place of the one there.
template <class Entry>
void putEntry(std::vector<Entry>& entries, std::uint32_t draw, std::uint32_t analyte,
              std::optional<Entry> wanted) {
    const auto at = entryAt(entries, draw, analyte);
    const bool there = at != entries.end() && at->draw == draw && at->analyte == analyte;
    if (there && wanted) {
        *at = std::move(*wanted);
    } else if (there) {
        entries.erase(at);
    } else if (wanted) {
        entries.insert(at, std::move(*wanted));
    }
}

template <class Entry>
void openGap(std::vector<Entry>& entries, std::uint32_t draw) {
    for (auto at = entries.rbegin(); at != entries.rend() && at->draw >= draw; ++at) {
        ++at->draw;
    }
}

template <class Entry>
void closeGap(std::vector<Entry>& entries, std::uint32_t draw) {
    const auto from = std::lower_bound(entries.begin(), entries.end(), draw,
                                       [](const Entry& e, std::uint32_t key) { return e.draw < key; });
    const auto to = std::find_if(from, entries.end(), [draw](const Entry& e) { return e.draw != draw; });
    for (auto at = entries.erase(from, to); at != entries.end(); ++at) {
        --at->draw;
    }
}

template <class Value>
auto position(std::vector<Value>& values, std::size_t row) {
    return values.begin() + static_cast<std::ptrdiff_t>(row);
}

/// Moves what belongs to the analytes from `index` on by `step`.
template <class Entry>
void moveAnalytes(std::vector<Entry>& entries, std::size_t index, std::int32_t step) {
    for (Entry& entry : entries) {
        if (entry.analyte >= index) {
            entry.analyte = static_cast<std::uint32_t>(static_cast<std::int64_t>(entry.analyte) + step);
        }
    }
}

template <class Entry>
bool hasEntry(const std::vector<Entry>& entries, std::size_t analyte) {
    return std::any_of(entries.begin(), entries.end(),
                       [analyte](const Entry& entry) { return entry.analyte == analyte; });
}

}  // namespace

void putConcentration(Study& study, std::size_t row, std::size_t analyte, Concentration read) {
    const auto draw = static_cast<std::uint32_t>(row);
    const auto index = static_cast<std::uint32_t>(analyte);
    study.concentrations[analyte][row] = read.value;
    putEntry<BelowLimit>(study.belowLimit, draw, index,
                         read.limit ? std::optional{BelowLimit{draw, index, *read.limit}} : std::nullopt);
    if (read.flaw) {
        read.flaw->draw = draw;
        read.flaw->analyte = index;
    }
    putEntry<CellFlaw>(study.flaws, draw, index, std::move(read.flaw));
}

void putRemark(Study& study, std::size_t row, std::string text) {
    const auto draw = static_cast<std::uint32_t>(row);
    const auto at =
        std::lower_bound(study.remarks.begin(), study.remarks.end(), draw,
                         [](const DrawRemark& remark, std::uint32_t key) { return remark.draw < key; });
    const bool there = at != study.remarks.end() && at->draw == draw;
    if (there && text.empty()) {
        study.remarks.erase(at);
    } else if (there) {
        at->text = std::move(text);
    } else if (!text.empty()) {
        study.remarks.insert(at, {draw, std::move(text)});
    }
}

void putNominal(Study& study, std::size_t row, const std::optional<double>& minutes) {
    if (minutes && study.nominalMin.empty()) {
        study.nominalMin.resize(study.draws.size());
    }
    if (!study.nominalMin.empty()) {
        study.nominalMin[row] = minutes;
    }
}

void putReplicate(Study& study, std::size_t row, std::int32_t number) {
    if (number != 1 && study.replicate.empty()) {
        study.replicate.resize(study.draws.size(), 1);
    }
    if (!study.replicate.empty()) {
        study.replicate[row] = number;
    }
}

/// Each search ends at the first that says something.
void dropEmptyLists(Study& study) {
    const auto given = [](const auto& minutes) { return minutes.has_value(); };
    if (std::none_of(study.nominalMin.begin(), study.nominalMin.end(), given)) {
        study.nominalMin.clear();
    }
    if (std::all_of(study.replicate.begin(), study.replicate.end(), [](auto n) { return n == 1; })) {
        study.replicate.clear();
    }
}

const CellFlaw* flawAt(const Study& study, std::size_t row, std::size_t analyte) {
    const auto flaw =
        entryAt(study.flaws, static_cast<std::uint32_t>(row), static_cast<std::uint32_t>(analyte));
    const bool there = flaw != study.flaws.end() && flaw->draw == row && flaw->analyte == analyte;
    return there ? &*flaw : nullptr;
}

std::string concentrationText(const Study& study, std::size_t row, std::size_t analyte) {
    if (const auto& value = study.concentrations[analyte][row]) {
        return plainNumber(*value);
    }
    if (const auto limit =
            belowLimitAt(study, static_cast<std::uint32_t>(row), static_cast<std::uint32_t>(analyte))) {
        return "<" + plainNumber(*limit);
    }
    const CellFlaw* flaw = flawAt(study, row, analyte);
    return flaw != nullptr ? flaw->text : std::string{};
}

void insertDraw(Study& study, std::size_t row, const Draw& draw) {
    const auto index = static_cast<std::uint32_t>(row);
    openGap(study.belowLimit, index);
    openGap(study.remarks, index);
    openGap(study.flaws, index);
    study.draws.insert(position(study.draws, row), draw);
    for (auto& values : study.concentrations) {
        values.insert(position(values, row), std::nullopt);
    }
    if (!study.nominalMin.empty()) {
        study.nominalMin.insert(position(study.nominalMin, row), std::nullopt);
    }
    if (!study.replicate.empty()) {
        study.replicate.insert(position(study.replicate, row), 1);
    }
}

void removeDraw(Study& study, std::size_t row) {
    const auto index = static_cast<std::uint32_t>(row);
    study.draws.erase(position(study.draws, row));
    for (auto& values : study.concentrations) {
        values.erase(position(values, row));
    }
    if (!study.nominalMin.empty()) {
        study.nominalMin.erase(position(study.nominalMin, row));
    }
    if (!study.replicate.empty()) {
        study.replicate.erase(position(study.replicate, row));
    }
    closeGap(study.belowLimit, index);
    closeGap(study.remarks, index);
    closeGap(study.flaws, index);
    dropEmptyLists(study);
}

bool hasConcentrations(const Study& study, std::size_t analyte) {
    const auto& values = study.concentrations[analyte];
    return std::any_of(values.begin(), values.end(), [](const auto& value) { return value.has_value(); }) ||
           hasEntry(study.belowLimit, analyte) || hasEntry(study.flaws, analyte);
}

void insertConcentrations(Study& study, std::size_t index) {
    moveAnalytes(study.belowLimit, index, 1);
    moveAnalytes(study.flaws, index, 1);
    study.concentrations.insert(position(study.concentrations, index),
                                std::vector<std::optional<double>>(study.draws.size()));
}

void removeConcentrations(Study& study, std::size_t index) {
    study.concentrations.erase(position(study.concentrations, index));
    moveAnalytes(study.belowLimit, index, -1);
    moveAnalytes(study.flaws, index, -1);
}

}  // namespace aftercurve
