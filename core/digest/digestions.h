#pragma once

#include <cstddef>
#include <optional>
#include <string>
#include <vector>

#include "core/digest/digest_value.h"
#include "core/study/assay_data.h"

namespace aftercurve {

/// One reading with what is made of it.
struct DigestPoint {
    double timeMin = 0.0;
    std::optional<double> value;  ///< as read
    std::optional<double> blank;  ///< mean of the run's blanks at that time; absent: none is subtracted
    DigestValue glucosePer100G;  ///< released glucose, g per 100 g of the sample as weighed, blank subtracted
    DigestValue starchPer100G;   ///< digested starch, likewise
    DigestValue starchPercent;   ///< digested starch in percent of total starch
    std::size_t row = 0;
};

/// One digestion: a replicate of a sample in a run.
struct Digestion {
    std::size_t sample = 0;  ///< position in AssayData::samples
    std::string run;
    int replicate = 1;
    bool blankSubtracted = false;
    std::vector<DigestPoint> points;  ///< by time
};

/// The readings as digestions, by sample, run and replicate.
///   glucose-mg:      glucose per 100 g = 100·(value − blank)/mass
///                    starch per 100 g = factor·(glucose per 100 g − free glucose)
///                    percent = 100·starch per 100 g/total starch
///   starch-percent:  percent = value − blank; starch per 100 g = percent·total starch/100
/// blank is the mean of the readings marked so in the same run at the same time. A run without any blank has
/// none subtracted; a run that has some, but none at that time, leaves the reading absent.
/// Source: Englyst, Kingman & Cummings 1992, Eur J Clin Nutr 46 Suppl 2:S33 (from memory).
/// What is missing (value, mass, free glucose, total starch, blank) leaves absent what hangs on it, with the
/// reason; nothing is filled in.
std::vector<Digestion> digestionsOf(const AssayData& assays);

/// The last time at which every digestion of the assays has a usable reading (percent of total starch or,
/// where no sample has its total starch, glucose); nothing where there is none. Where `lastMin` is set, that.
std::optional<double> commonLastMin(const AssayData& assays, const std::vector<Digestion>& digestions);

/// A quantity of a digestion at a time: of the reading there or, where `interpolate` is set, on the straight
/// line between the readings around it, with a note. Never past the first or last reading.
DigestValue valueAt(const Digestion& digestion, DigestValue DigestPoint::*quantity, double timeMin,
                    bool interpolate);

}  // namespace aftercurve
