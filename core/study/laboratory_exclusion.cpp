#include "core/study/laboratory_exclusion.h"

#include <algorithm>
#include <array>

#include "core/base/number_text.h"
#include "core/base/words.h"
#include "core/study/fibre_method_name.h"

namespace aftercurve {

namespace {

constexpr Words<LaboratoryPart, 4> partWords{{{LaboratoryPart::digestion, "digestion"},
                                              {LaboratoryPart::reading, "reading"},
                                              {LaboratoryPart::blanks, "blanks"},
                                              {LaboratoryPart::determination, "determination"}}};

bool matches(const std::string& wanted, const std::string& found) {
    return wanted.empty() || wanted == found;
}

bool takesOut(const Exclusion& exclusion, const AssayReading& reading) {
    if (!isOfLaboratory(exclusion) || !exclusion.method.empty()) {
        return false;
    }
    if (reading.blank) {
        return exclusion.run == reading.run && exclusion.material.empty() && !exclusion.replicate &&
               !exclusion.timeMin;
    }
    return matches(exclusion.material, reading.sample) && matches(exclusion.run, reading.run) &&
           (!exclusion.replicate || *exclusion.replicate == reading.replicate) &&
           (!exclusion.timeMin || *exclusion.timeMin == reading.timeMin);
}

bool takesOut(const Exclusion& exclusion, const FibreResult& result) {
    return !exclusion.method.empty() && exclusion.run.empty() && !exclusion.timeMin &&
           bareMethodName(exclusion.method) == bareMethodName(result.method) &&
           matches(exclusion.material, result.material) &&
           (!exclusion.replicate || *exclusion.replicate == result.replicate);
}

template <class Row>
const Exclusion* firstOf(std::span<const Exclusion> exclusions, const Row& row) {
    const auto found = std::find_if(exclusions.begin(), exclusions.end(),
                                    [&row](const Exclusion& one) { return takesOut(one, row); });
    return found == exclusions.end() ? nullptr : &*found;
}

}  // namespace

std::string_view wordFor(LaboratoryPart part) {
    return wordIn(partWords, part);
}

bool isOfLaboratory(const Exclusion& exclusion) {
    return !exclusion.material.empty() || !exclusion.run.empty() || !exclusion.method.empty() ||
           exclusion.replicate.has_value();
}

bool anyOfLaboratory(std::span<const Exclusion> exclusions) {
    return std::any_of(exclusions.begin(), exclusions.end(), isOfLaboratory);
}

bool anyOfSubjects(std::span<const Exclusion> exclusions) {
    return !std::all_of(exclusions.begin(), exclusions.end(), isOfLaboratory);
}

std::string laboratoryPlace(const Exclusion& exclusion) {
    std::string text;
    const auto add = [&text](const std::string& part) { text += (text.empty() ? "" : ", ") + part; };
    if (!exclusion.material.empty()) {
        add(exclusion.material);
    }
    if (!exclusion.method.empty()) {
        add("method " + exclusion.method);
    }
    if (!exclusion.run.empty()) {
        add("run " + exclusion.run);
    }
    if (exclusion.replicate) {
        add("replicate " + std::to_string(*exclusion.replicate));
    }
    if (exclusion.timeMin) {
        add(plainNumber(*exclusion.timeMin) + " min");
    }
    return text;
}

const Exclusion* excludes(std::span<const Exclusion> exclusions, const AssayReading& reading) {
    return firstOf(exclusions, reading);
}

const Exclusion* excludes(std::span<const Exclusion> exclusions, const FibreResult& result) {
    return firstOf(exclusions, result);
}

}  // namespace aftercurve
