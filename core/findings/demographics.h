#pragma once

#include <cstddef>
#include <optional>
#include <string>
#include <vector>

#include "core/study/study.h"

namespace aftercurve {

/// One characteristic of one group of subjects, from the subjects file.
struct DemographicsFinding {
    std::string group;            ///< "all", a sequence, or "sequence not given"
    std::string groupKey;         ///< "all"; number of the sequence by bytes from 1; "0": not given
    std::string characteristic;   ///< "subjects", "sex", "age_y", "bmi_kg_m2"
    std::string level;            ///< of sex, as written in the file
    std::size_t levelNumber = 0;  ///< of it by bytes from 1; 0: none
    std::size_t n = 0;            ///< subjects of that level; else with a value
    std::size_t missing = 0;      ///< subjects of the group of whom it is not given
    std::optional<double>
        percent;  ///< sex: 100 n / subjects of the group whose sex is given; subjects: of all
    std::optional<double> mean;
    std::optional<double> sd;  ///< n − 1; absent for n < 2
    std::optional<double> median;
    std::optional<double> lowerQuartile;  ///< Hyndman & Fan 1996, type 7
    std::optional<double> upperQuartile;
    std::optional<double> minimum;
    std::optional<double> maximum;
    std::string unit;

    bool operator==(const DemographicsFinding&) const = default;
};

/// Who was studied: all subjects on record, also those without a visit and those that are excluded, then each
/// sequence (and those without one) where the study has sequences. Rows of a group: subjects, each sex that
/// the file names, age, body mass index; a characteristic that is given of nobody in the study has no row.
/// What is missing is counted and enters nothing. No test compares the groups: in a randomised study a
/// difference at the start is chance by design (CONSORT 2010, item 15; from memory).
std::vector<DemographicsFinding> demographicsOf(const Study& study);

}  // namespace aftercurve
