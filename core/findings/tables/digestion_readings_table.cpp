#include <algorithm>
#include <tuple>

#include "core/base/number_text.h"
#include "core/findings/tables/builders.h"
#include "core/findings/tables/cells.h"
#include "core/findings/tables/digestion_names.h"
#include "core/study/laboratory_counted.h"

namespace aftercurve {

namespace {

std::string replicateKey(const DigestionReplicate& replicate) {
    return replicate.sample + "/" + replicate.digestion.run + "/" +
           std::to_string(replicate.digestion.replicate);
}

/// A row of the readings with its place: sample, run, replicate, time.
struct PlacedRow {
    std::tuple<std::size_t, std::string, int, double> place;
    Row row;
};

/// The readings that exclusions take out, each at its place, with the value that stands in the file.
void addExcludedReadings(const Study& study, std::vector<PlacedRow>& rows) {
    for (const AssayReading& reading : study.assays.readings) {
        const auto sample = findAssaySample(study.assays, reading.sample);
        const Exclusion* exclusion = excludes(study.exclusions, reading);
        if (reading.blank || !sample || exclusion == nullptr) {
            continue;
        }
        Row row;
        row.key = reading.sample + "/" + reading.run + "/" + std::to_string(reading.replicate) + "/" +
                  plainNumber(reading.timeMin);
        row.about.food = study.assays.samples[*sample].food;
        row.file = study.assays.file;
        row.row = reading.row;
        row.muted = true;
        row.cells = {reading.sample,
                     reading.run,
                     static_cast<std::int64_t>(reading.replicate),
                     reading.timeMin,
                     cellOf(reading.value),
                     Cell{},
                     Cell{},
                     Cell{},
                     Cell{},
                     "excluded: " + reasonOf(*exclusion)};
        rows.push_back({{*sample, reading.run, reading.replicate, reading.timeMin}, std::move(row)});
    }
    std::stable_sort(rows.begin(), rows.end(),
                     [](const PlacedRow& a, const PlacedRow& b) { return a.place < b.place; });
}

}  // namespace

Table digestionReadingsTable(const Study& study, const Findings& findings) {
    Table table;
    table.key = "digestion_readings";
    table.title = "Readings of the digestions";
    table.emptyText = noAssays;
    table.columns = {textColumn("sample", "Sample"),
                     textColumn("run", "Run"),
                     countColumn("replicate", "Replicate"),
                     numberColumn("time_min", "Time", "min", 1),
                     numberColumn("value", "Reading", "", 3, "As in the file"),
                     numberColumn("blank", "Blank", "", 3, "Mean of the run's blanks at this time"),
                     numberColumn("glucose_per_100_g", "Released glucose", "g/100 g as weighed", 2,
                                  "100 · (reading − blank)/mass", {"value", "blank"}),
                     numberColumn("starch_per_100_g", "Digested starch", "g/100 g as weighed", 2,
                                  "Factor · (released − free glucose)", {"glucose_per_100_g"}),
                     numberColumn("starch_percent", "Digested starch", "% of total starch", 2,
                                  "100 · digested/total starch", {"starch_per_100_g"}),
                     textColumn("remark", "Remark")};
    std::vector<PlacedRow> rows;
    for (const DigestionReplicate& replicate : findings.digestion.replicates) {
        for (const DigestPoint& point : replicate.digestion.points) {
            Row row;
            row.key = replicateKey(replicate) + "/" + plainNumber(point.timeMin);
            row.about.food = findings.digestion.bySample[replicate.digestion.sample].food;
            row.file = study.assays.file;
            row.row = point.row;
            row.muted = !point.starchPercent.value;
            row.cells = {replicate.sample,
                         replicate.digestion.run,
                         static_cast<std::int64_t>(replicate.digestion.replicate),
                         point.timeMin,
                         cellOf(point.value),
                         cellOf(point.blank),
                         cellOf(point.glucosePer100G.value),
                         cellOf(point.starchPer100G.value),
                         cellOf(point.starchPercent.value),
                         cellOf(point.starchPercent.absentBecause)};
            rows.push_back({{replicate.digestion.sample, replicate.digestion.run,
                             replicate.digestion.replicate, point.timeMin},
                            std::move(row)});
        }
    }
    if (!findings.digestion.excluded.empty()) {
        addExcludedReadings(study, rows);
    }
    for (PlacedRow& placed : rows) {
        table.rows.push_back(std::move(placed.row));
    }
    return named(std::move(table), study, findings.digestion);
}

}  // namespace aftercurve
