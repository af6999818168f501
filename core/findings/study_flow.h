#pragma once

#include <cstddef>
#include <string>
#include <vector>

namespace aftercurve {

/// Why how many were lost at a step of the flow.
struct FlowLoss {
    std::string reason;  ///< as the exclusion or the finding says
    std::size_t subjects = 0;
    std::size_t visits = 0;

    bool operator==(const FlowLoss&) const = default;
};

/// One food of one sequence and period.
struct FlowStage {
    std::string sequence;  ///< empty where none are given: all subjects together
    int period = 0;        ///< 0: not given
    std::string food;
    std::size_t came = 0;          ///< subjects with a visit
    std::size_t analysed = 0;      ///< subjects with a curve of the study's first analyte that counts
    std::vector<FlowLoss> losses;  ///< of those who came; their subjects are `came` − `analysed` in all
    std::size_t subjects = 0;      ///< on record in this sequence
    std::size_t absent = 0;  ///< of them, without a visit in this period (no periods: with this food); of the
                             ///< foods of one period the first has it

    bool operator==(const FlowStage&) const = default;
};

/// Subjects and visits from those on record to those analysed, after the statement of the CONSORT group on
/// randomised crossover trials (Dwan et al. 2019).
struct StudyFlow {
    std::size_t subjects = 0;        ///< on record
    std::size_t without = 0;         ///< of them, without any visit
    std::vector<FlowStage> stages;   ///< by sequence, period, food in the study's order
    std::size_t complete = 0;        ///< subjects analysed with every food that has a visit
    std::size_t analysed = 0;        ///< subjects analysed with at least one food
    std::vector<std::string> notes;  ///< what the study's files do not say: who was assessed and refused

    bool operator==(const StudyFlow&) const = default;
};

}  // namespace aftercurve
