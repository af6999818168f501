#pragma once

#include <cstddef>
#include <optional>
#include <string>
#include <vector>

namespace aftercurve {

/// A material that was digested in vitro: a starch, an ingredient, a food.
struct AssaySample {
    std::string id;          ///< as in the assays file; unique
    std::string label;       ///< for figures and tables
    std::string food;        ///< id of the study's food that it is or goes into; empty: none
    bool reference = false;  ///< the one that the hydrolysis index refers to
    std::optional<double> totalStarchPercent;  ///< g per 100 g of the sample as weighed
    std::optional<double> freeGlucosePercent;  ///< likewise
    std::optional<double> moisturePercent;     ///< likewise

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
    std::size_t row = 0;  ///< line in the assays file

    bool operator==(const AssayReading&) const = default;
};

/// What the readings are.
enum class AssayQuantity { glucoseMg, starchPercent };

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

    bool operator==(const AssayData&) const = default;
};

}  // namespace aftercurve
