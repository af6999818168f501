#pragma once

#include <cstddef>
#include <cstdint>
#include <functional>
#include <string_view>
#include <vector>

#include "core/files/id_index.h"
#include "core/files/number_cell.h"
#include "core/files/problem_list.h"
#include "core/files/samples_header.h"
#include "core/files/study_folder.h"
#include "core/study/study.h"

namespace aftercurve {

/// Reads samples files, one after the other, into one study whose foods, analytes and (where there is a
/// subjects file) subjects are declared already.
class SamplesReader {
  public:
    SamplesReader(Study& study, std::vector<ConversionOptions> conversions, const ReadLimits& limits,
                  ProblemList& problems);

    /// Adds the draws in `bytes`, the contents of study.sampleFiles[file]. `progress` (may be empty) is told
    /// the bytes read after every few MB; where it answers false the reading stops and false comes back.
    bool read(std::string_view bytes, std::uint32_t file,
              const std::function<bool(std::size_t)>& progress = {});

    /// To be called once, after the last file: reports analytes in no file and declared subjects without a
    /// row.
    void finish();

  private:
    void noteNominalTimes();
    void settleExtras();
    struct Row;

    void reserve(std::string_view text);
    bool hasRoom(const Row& row);
    bool readRow(const Row& row);
    std::optional<std::uint32_t> subjectOf(const Row& row);
    std::optional<std::uint32_t> foodOf(const Row& row);
    std::optional<std::int32_t> countOf(const Row& row, std::optional<std::size_t> column, const char* name,
                                        std::int32_t absent);
    struct Times;
    std::optional<double> timeIn(const Row& row, std::size_t column, std::string_view name);
    std::optional<Times> timesOf(const Row& row);
    void readExtras(const Row& row, const Times& times, std::int32_t replicate);
    void readConcentrations(const Row& row, const Draw& draw);
    void addFlaw(const Row& row, const Draw& draw, const AnalyteColumn& column, const NumberCell& number);
    void warnUndeclaredSubject(const Row& row, const std::string& id);

    Study& study_;
    std::vector<ConversionOptions> conversions_;
    const ReadLimits& limits_;
    ProblemList& problems_;
    std::vector<AnalyteState> states_;
    IdIndex subjects_;
    IdIndex foods_;
    std::vector<bool> subjectSeen_;
    std::size_t declaredSubjects_ = 0;
    std::uint32_t lastSubject_ = 0;
    std::uint32_t lastFood_ = 0;
    std::size_t nominalUsed_ = 0;  ///< rows without time_min, read at their nominal time
};

}  // namespace aftercurve
