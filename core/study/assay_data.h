#pragma once

#include <cstddef>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

namespace aftercurve {

/// A material that was digested in vitro: a starch, an ingredient, a food.
struct AssaySample {
    std::string id;          ///< as in the assays file; unique
    std::string label;       ///< for figures and tables
    std::string food;        ///< id of the study's food that it is or goes into; empty: none
    bool reference = false;  ///< the one that the hydrolysis index refers to
    std::optional<double> totalStarchPercent;         ///< g per 100 g of the sample as weighed
    std::optional<double> freeGlucosePercent;         ///< likewise
    std::optional<double> moisturePercent;            ///< likewise
    std::optional<double> totalStarchSePercent = {};  ///< standard error of `totalStarchPercent`
    std::optional<double> freeGlucoseSePercent = {};  ///< standard error of `freeGlucosePercent`

    bool operator==(const AssaySample&) const = default;
};

/// One reading of one digestion.
struct AssayReading {
    std::string sample;  ///< AssaySample::id; empty for a blank
    std::string run;     ///< the day or batch; a blank belongs to its run
    int replicate = 1;
    double timeMin = 0.0;
    std::optional<double> value;  ///< in AssayData::quantity
    std::optional<double> sampleMassMg;
    bool blank = false;
    std::size_t row = 0;    ///< line in the assays file
    std::string flaw = {};  ///< why its value or its mass cannot be used; empty: they can, or are missing
    std::string valueText = {};  ///< what stands in the cell of a value that cannot be used
    std::string massText = {};   ///< likewise of the mass

    bool operator==(const AssayReading&) const = default;
};

/// What the readings are: glucose in the whole digest, mg; or digested starch in percent of total starch,
/// free glucose taken off already.
enum class AssayQuantity { glucoseMg, starchPercent };

/// What the compared fractions are parts of: total starch, dry matter, the sample as weighed.
enum class AssayBasis { totalStarch, dry, asIs };

/// "glucose-mg", "starch-percent".
std::string_view wordFor(AssayQuantity quantity);
std::optional<AssayQuantity> assayQuantityFrom(std::string_view word);

/// "total-starch", "dry", "as-is".
std::string_view wordFor(AssayBasis basis);
std::optional<AssayBasis> assayBasisFrom(std::string_view word);

/// The assays of a study and how they are read.
struct AssayData {
    std::string file;  ///< relative to the study folder; empty: no assays
    AssayQuantity quantity = AssayQuantity::glucoseMg;
    std::vector<AssaySample> samples;
    std::vector<AssayReading> readings;
    double rapidCutMin = 20.0;
    double slowCutMin = 120.0;
    double lastMin = 0.0;              ///< 0: the last time that all samples have
    double glucoseToStarch = 0.9;      ///< 162 / 180
    std::string comparison = "tukey";  ///< "tukey", "dunnett" (against the reference), "none"
    bool interpolate = false;          ///< a cut time without a reading takes the straight line between its
                                       ///< neighbours; else what needs it is absent
    AssayBasis basis = AssayBasis::totalStarch;  ///< of the fractions that are compared and drawn

    bool operator==(const AssayData&) const = default;
};

/// One fault of the settings, by its key in "assays" of study.json.
struct AssayFault {
    std::string key;   ///< "slow_cut_min", "samples[2].moisture_percent"
    std::string what;  ///< "is 20; it must be above rapid_cut_min, 30"
    std::string remedy;

    bool operator==(const AssayFault&) const = default;
};

/// What keeps the settings from making sense: cut times that do not ascend, a factor outside (0, 1], shares
/// outside 0 to 100, ids that are empty or there twice, more than one reference, "dunnett" without one, a
/// comparison that is not known. Readings are not looked at.
std::vector<AssayFault> validate(const AssayData& assays);

/// Position in AssayData::samples.
std::optional<std::size_t> findAssaySample(const AssayData& assays, std::string_view id);

/// Position of the reference; nothing where there is none.
std::optional<std::size_t> referenceSample(const AssayData& assays);

}  // namespace aftercurve
