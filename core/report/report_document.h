#pragma once

#include <cstddef>
#include <string>
#include <string_view>
#include <variant>
#include <vector>

#include "core/base/problem.h"
#include "core/figure/figure_spec.h"
#include "core/findings/findings.h"
#include "core/findings/sentence.h"
#include "core/publish/printed_table.h"
#include "core/study/study.h"

namespace aftercurve {

/// Sentences that are read one after the other.
struct ReportParagraph {
    std::vector<Sentence> sentences;

    bool operator==(const ReportParagraph&) const = default;
};

/// What a reader must know of the data, as many as are shown, and of how many.
struct ReportProblems {
    std::vector<Problem> problems;
    std::string note;  ///< what was cut and where it stands; empty: nothing was

    bool operator==(const ReportProblems&) const = default;
};

/// One table as printed. Row r of `printed` is row r of the table of that key.
struct ReportTable {
    std::size_t number = 0;  ///< in the report, from 1
    PrintedTable printed;
    std::string note;  ///< what was cut and where it stands; empty: nothing was
};

/// One figure; its picture is drawn by who writes the report.
struct ReportFigure {
    std::size_t number = 0;  ///< in the report, from 1
    std::size_t spec = 0;    ///< position in the figures that the report was made with
    std::string title;       ///< may be empty
    std::string caption;
    double widthMm = 0.0;
    double heightMm = 0.0;

    bool operator==(const ReportFigure&) const = default;
};

/// A fact and what it is.
struct ReportFact {
    std::string label;
    std::string value;
    bool code = false;  ///< a hash or the like, set in letters of one width

    bool operator==(const ReportFact&) const = default;
};

struct ReportFacts {
    std::vector<ReportFact> facts;

    bool operator==(const ReportFacts&) const = default;
};

using ReportBlock = std::variant<ReportParagraph, ReportProblems, ReportTable, ReportFigure, ReportFacts>;

struct ReportSection {
    std::string id;  ///< letters and hyphens; unique
    std::string heading;
    std::vector<ReportBlock> blocks;

    bool operator==(const ReportSection&) const = default;
};

/// A report before any format: what is said, in which order. Writers only set it. The caution is the first
/// section.
struct ReportDocument {
    std::string title;
    std::string language = "en";
    std::string date;  ///< ISO 8601; empty: none was given
    std::vector<ReportSection> sections;

    bool operator==(const ReportDocument&) const = default;
};

struct ReportOptions {
    std::string date;  ///< ISO 8601 date that the report bears; empty: none, and the same study gives the
                       ///< same bytes on any day
    std::size_t longestTable = 200;  ///< rows; of a longer table the first ones are shown, with a note
    std::size_t mostProblems = 200;  ///< likewise of the list of problems
};

/// Empty where the options can be used; else what is wrong with each.
std::vector<Problem> validate(const ReportOptions& options);

/// The whole report of a study: caution, study, flow, problems, exclusions, plan and what deviates from the
/// registered one, methods, results, then every table that has rows by subject, figures, sensitivity and
/// where it all comes from. A table that no group names stands under "Other tables", so that none is
/// forgotten. A section that has nothing to say is left out, unless its absence is itself a statement ("The
/// study has no exclusions."). Computes no result. The same arguments give the same document. The options
/// must be valid.
ReportDocument reportDocument(const Study& study, const Findings& findings,
                              const std::vector<FigureSpec>& figures, const ReportOptions& options = {});

}  // namespace aftercurve
