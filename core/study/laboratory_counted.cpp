#include "core/study/laboratory_counted.h"

#include <algorithm>
#include <set>
#include <utility>

#include "core/base/number_text.h"
#include "core/study/fibre_method_name.h"

namespace aftercurve {

namespace {

/// Different reasons that are told together.
constexpr std::size_t mostReasons = 3;

/// Names each thing once.
class LeftOut {
  public:
    void add(LaboratoryLeftOut one) {
        if (seen_.insert({one.what, one.reason}).second) {
            list_.push_back(std::move(one));
        }
    }
    std::vector<LaboratoryLeftOut> take() { return std::move(list_); }

  private:
    std::set<std::pair<std::string, std::string>> seen_;
    std::vector<LaboratoryLeftOut> list_;
};

LaboratoryLeftOut leftOut(const AssayData& assays, const AssayReading& reading, const Exclusion& exclusion) {
    if (reading.blank) {
        return {"the blanks of run " + reading.run, reasonOf(exclusion), LaboratoryPart::blanks};
    }
    const auto sample = findAssaySample(assays, reading.sample);
    const bool labelled = sample && !assays.samples[*sample].label.empty();
    LaboratoryLeftOut one{(labelled ? assays.samples[*sample].label : reading.sample) + ", run " +
                              reading.run + ", replicate " + std::to_string(reading.replicate),
                          reasonOf(exclusion), LaboratoryPart::digestion};
    if (exclusion.timeMin) {
        one.what += ", " + plainNumber(reading.timeMin) + " min";
        one.part = LaboratoryPart::reading;
    }
    return one;
}

LaboratoryLeftOut leftOut(const FibreData& /*fibre*/, const FibreResult& result, const Exclusion& exclusion) {
    return {result.material + ", " + std::string{bareMethodName(result.method)} +
                (result.laboratory.empty() ? "" : ", " + result.laboratory) + ", replicate " +
                std::to_string(result.replicate),
            reasonOf(exclusion), LaboratoryPart::determination};
}

template <class Data, class Row>
Counted<Data> counted(const std::vector<Exclusion>& exclusions, const Data& data,
                      std::vector<Row> Data::*rows) {
    Counted<Data> result;
    if (!anyOfLaboratory(exclusions)) {
        return result;
    }
    LeftOut list;
    for (const Row& row : data.*rows) {
        if (const Exclusion* exclusion = excludes(exclusions, row)) {
            list.add(leftOut(data, row, *exclusion));
        }
    }
    result.leftOut = list.take();
    if (!result.leftOut.empty()) {
        result.without = data;
        std::erase_if((*result.without).*rows,
                      [&exclusions](const Row& row) { return excludes(exclusions, row) != nullptr; });
    }
    return result;
}

}  // namespace

std::string reasonOf(const Exclusion& exclusion) {
    return exclusion.reason.empty() ? "no reason given" : exclusion.reason;
}

Counted<AssayData> countedAssays(const Study& study) {
    return counted(study.exclusions, study.assays, &AssayData::readings);
}

Counted<FibreData> countedFibre(const Study& study) {
    return counted(study.exclusions, study.fibre, &FibreData::results);
}

std::string whyAllExcluded(const Study& study, const AssaySample& sample) {
    std::vector<std::string> reasons;
    for (const AssayReading& reading : study.assays.readings) {
        if (reading.blank || reading.sample != sample.id) {
            continue;
        }
        const Exclusion* exclusion = excludes(study.exclusions, reading);
        if (exclusion == nullptr) {
            return {};
        }
        const std::string reason = reasonOf(*exclusion);
        if (std::find(reasons.begin(), reasons.end(), reason) == reasons.end()) {
            reasons.push_back(reason);
        }
    }
    std::string text;
    for (std::size_t i = 0; i < std::min(reasons.size(), mostReasons); ++i) {
        text += (i == 0 ? "all its digestions are excluded: " : "; ") + reasons[i];
    }
    return text + (reasons.size() > mostReasons ? "; and other reasons" : "");
}

std::string leftOutWords(const std::vector<LaboratoryLeftOut>& leftOut, std::size_t most) {
    std::string text;
    for (std::size_t i = 0; i < std::min(leftOut.size(), most); ++i) {
        text += (i == 0 ? "" : "; ") + leftOut[i].what + " (" + leftOut[i].reason + ")";
    }
    if (leftOut.size() > most) {
        text += "; and " + std::to_string(leftOut.size() - most) + " more, see the table of exclusions";
    }
    return text;
}

}  // namespace aftercurve
