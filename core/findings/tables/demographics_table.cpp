#include <algorithm>
#include <set>
#include <string_view>

#include "core/findings/demographics.h"
#include "core/findings/tables/builders.h"
#include "core/findings/tables/cells.h"

namespace aftercurve {

namespace {

std::string labelOf(const DemographicsFinding& finding) {
    if (finding.characteristic == "sex") {
        return "Sex: " + finding.level;
    }
    if (finding.characteristic == "age_y") {
        return "Age";
    }
    return finding.characteristic == "bmi_kg_m2" ? "Body mass index" : "Subjects";
}

std::vector<Column> columnsOf() {
    const std::string quartile = "Linear interpolation of order statistics, h = (n − 1)p + 1";
    return {textColumn("sequence", "Sequence"),
            textColumn("characteristic", "Characteristic", "Sex as written in the subjects file"),
            textColumn("unit", "Unit"),
            countColumn("n", "n", "Subjects of whom it is given; of that sex"),
            countColumn("missing", "Missing", "Subjects of the group of whom it is not given"),
            numberColumn("percent", "Share", "%", 0,
                         "Subjects: of all; sex: of those of the group whose sex is given", {"n"}),
            numberColumn("mean", "Mean", "", 1),
            numberColumn("sd", "SD", "", 1, "Sample standard deviation, n − 1"),
            numberColumn("median", "Median", "", 1),
            numberColumn("lower_quartile", "Lower quartile", "", 1, quartile),
            numberColumn("upper_quartile", "Upper quartile", "", 1, quartile),
            numberColumn("minimum", "Minimum", "", 1),
            numberColumn("maximum", "Maximum", "", 1)};
}

std::size_t subjectsThatCount(const Findings& findings) {
    std::set<std::string_view> subjects;
    for (const CurveFinding& curve : findings.curves) {
        if (curve.counts()) {
            subjects.insert(curve.subject);
        }
    }
    return subjects.size();
}

std::string notGivenNote(const Findings& findings) {
    std::string words;
    for (const auto& [key, word] :
         {std::pair{"sex", "sex"}, std::pair{"age_y", "age"}, std::pair{"bmi_kg_m2", "body mass index"}}) {
        const bool given = std::any_of(findings.demographics.begin(), findings.demographics.end(),
                                       [key = std::string_view{key}](const DemographicsFinding& finding) {
                                           return finding.characteristic == key;
                                       });
        words += given ? std::string{} : (words.empty() ? "" : ", ") + std::string{word};
    }
    return words.empty() ? words : "Not given for any subject: " + words + ".";
}

}  // namespace

Table demographicsTable(const Study& /*study*/, const Findings& findings) {
    Table table;
    table.key = "demographics";
    table.title = "Subjects";
    table.emptyText = "The study has no subject.";
    table.columns = columnsOf();
    for (const DemographicsFinding& finding : findings.demographics) {
        Row row;
        row.key = finding.groupKey + "/" + finding.characteristic +
                  (finding.levelNumber > 0 ? std::to_string(finding.levelNumber) : "");
        row.cells = {finding.group,
                     labelOf(finding),
                     cellOf(finding.unit),
                     cellOf(finding.n),
                     cellOf(finding.missing),
                     cellOf(finding.percent),
                     cellOf(finding.mean),
                     cellOf(finding.sd),
                     cellOf(finding.median),
                     cellOf(finding.lowerQuartile),
                     cellOf(finding.upperQuartile),
                     cellOf(finding.minimum),
                     cellOf(finding.maximum)};
        table.rows.push_back(std::move(row));
    }
    if (table.rows.empty()) {
        return table;
    }
    table.notes = {"All " + std::to_string(findings.demographics.front().n) +
                       " subjects on record, excluded ones included; " +
                       std::to_string(subjectsThatCount(findings)) + " have a curve that counts.",
                   "Quartiles: linear interpolation of order statistics (Hyndman & Fan 1996, type 7). What "
                   "is missing is counted and enters no number. Groups are not tested against each other."};
    if (std::string note = notGivenNote(findings); !note.empty()) {
        table.notes.push_back(std::move(note));
    }
    return table;
}

}  // namespace aftercurve
