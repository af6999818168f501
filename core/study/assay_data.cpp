#include "core/study/assay_data.h"

#include <algorithm>
#include <set>

#include "core/base/number_text.h"
#include "core/base/words.h"

namespace aftercurve {

namespace {

constexpr Words<AssayQuantity, 2> quantityWords{
    {{AssayQuantity::glucoseMg, "glucose-mg"}, {AssayQuantity::starchPercent, "starch-percent"}}};
constexpr Words<AssayBasis, 3> basisWords{
    {{AssayBasis::totalStarch, "total-starch"}, {AssayBasis::dry, "dry"}, {AssayBasis::asIs, "as-is"}}};

void checkTimes(const AssayData& assays, std::vector<AssayFault>& faults) {
    if (!(assays.rapidCutMin > 0.0)) {
        faults.push_back({"rapid_cut_min", "is " + plainNumber(assays.rapidCutMin) + "; it must be above 0",
                          "give minutes, usually 20"});
    }
    if (!(assays.slowCutMin > assays.rapidCutMin)) {
        faults.push_back({"slow_cut_min",
                          "is " + plainNumber(assays.slowCutMin) + "; it must be above rapid_cut_min, " +
                              plainNumber(assays.rapidCutMin),
                          "give minutes, usually 120"});
    }
    if (assays.lastMin != 0.0 && !(assays.lastMin >= assays.slowCutMin)) {
        faults.push_back({"last_min",
                          "is " + plainNumber(assays.lastMin) + "; it lies before slow_cut_min, " +
                              plainNumber(assays.slowCutMin),
                          "give the time of the last reading, or leave it out"});
    }
}

void checkShares(const AssaySample& sample, const std::string& path, std::vector<AssayFault>& faults) {
    const auto check = [&](const char* key, const std::optional<double>& value, double most, bool openEnd) {
        if (value && !(*value >= 0.0 && (openEnd ? *value < most : *value <= most))) {
            faults.push_back({path + "." + key, "is " + plainNumber(*value) + ", no share of the sample",
                              "give g per 100 g"});
        }
    };
    check("total_starch_percent", sample.totalStarchPercent, 100.0, false);
    check("free_glucose_percent", sample.freeGlucosePercent, 100.0, false);
    check("moisture_percent", sample.moisturePercent, 100.0, true);
    check("total_starch_se_percent", sample.totalStarchSePercent, 100.0, false);
    check("free_glucose_se_percent", sample.freeGlucoseSePercent, 100.0, false);
}

void checkSamples(const AssayData& assays, std::vector<AssayFault>& faults) {
    std::set<std::string> ids;
    std::size_t references = 0;
    for (std::size_t i = 0; i < assays.samples.size(); ++i) {
        const AssaySample& sample = assays.samples[i];
        const std::string path = "samples[" + std::to_string(i) + "]";
        if (sample.id.empty() || !ids.insert(sample.id).second) {
            faults.push_back({path + ".id", sample.id.empty() ? "is empty" : "is there twice",
                              "give each sample its own id"});
        }
        references += sample.reference ? 1U : 0U;
        checkShares(sample, path, faults);
    }
    if (references > 1) {
        faults.push_back({"samples", "has " + std::to_string(references) + " entries with \"reference\"",
                          "mark one sample as the reference"});
    }
    if (assays.comparison == "dunnett" && references == 0) {
        faults.push_back({"comparison", "is 'dunnett', and no sample is the reference",
                          "mark one sample as the reference, or use tukey"});
    }
}

}  // namespace

std::string_view wordFor(AssayQuantity quantity) {
    return wordIn(quantityWords, quantity);
}

std::optional<AssayQuantity> assayQuantityFrom(std::string_view word) {
    return valueIn(quantityWords, word);
}

std::string_view wordFor(AssayBasis basis) {
    return wordIn(basisWords, basis);
}

std::optional<AssayBasis> assayBasisFrom(std::string_view word) {
    return valueIn(basisWords, word);
}

std::vector<AssayFault> validate(const AssayData& assays) {
    std::vector<AssayFault> faults;
    checkTimes(assays, faults);
    if (!(assays.glucoseToStarch > 0.0 && assays.glucoseToStarch <= 1.0)) {
        faults.push_back({"glucose_to_starch",
                          "is " + plainNumber(assays.glucoseToStarch) + "; it must be above 0 and at most 1",
                          "use 0.9, which is 162/180"});
    }
    if (assays.comparison != "tukey" && assays.comparison != "dunnett" && assays.comparison != "none") {
        faults.push_back({"comparison", "is not a known comparison", "use one of tukey, dunnett, none"});
    }
    checkSamples(assays, faults);
    return faults;
}

std::optional<std::size_t> findAssaySample(const AssayData& assays, std::string_view id) {
    const auto found = std::find_if(assays.samples.begin(), assays.samples.end(),
                                    [id](const AssaySample& sample) { return sample.id == id; });
    return found == assays.samples.end()
               ? std::nullopt
               : std::optional{static_cast<std::size_t>(found - assays.samples.begin())};
}

std::optional<std::size_t> referenceSample(const AssayData& assays) {
    const auto found = std::find_if(assays.samples.begin(), assays.samples.end(),
                                    [](const AssaySample& sample) { return sample.reference; });
    return found == assays.samples.end()
               ? std::nullopt
               : std::optional{static_cast<std::size_t>(found - assays.samples.begin())};
}

}  // namespace aftercurve
