#include "core/intake/gathered.h"

#include <algorithm>

namespace aftercurve {

std::string wordsFor(const Tally& tally, const std::string& noun) {
    std::string text = std::to_string(tally.count) + " " + noun + (tally.count == 1 ? "" : "s") + " (";
    const std::size_t listed = std::min(tally.count, tally.rows.size());
    text += listed == 1 && tally.count == 1 ? "row " : "rows ";
    for (std::size_t i = 0; i < listed; ++i) {
        text += (i == 0 ? "" : ", ") + std::to_string(tally.rows[i]);
    }
    if (tally.count > listed) {
        text += " and " + std::to_string(tally.count - listed) + " more";
    }
    return text + ")";
}

std::uint32_t subjectAt(Gathered& gathered, std::string_view id) {
    if (const auto found = gathered.subjectIndex.find(id)) {
        return *found;
    }
    const auto index = static_cast<std::uint32_t>(gathered.subjects.size());
    gathered.subjectIndex.add(id, index);
    Subject subject;
    subject.id = std::string{id};
    gathered.subjects.push_back(std::move(subject));
    return index;
}

}  // namespace aftercurve
