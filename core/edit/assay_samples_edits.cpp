// The samples of the assays, which stand in study.json; their digestions are rows of the assays file.
#include <algorithm>
#include <array>

#include "core/edit/cell_reading.h"
#include "core/files/assays_json.h"
#include "core/files/excerpt.h"

namespace aftercurve {

namespace {

enum AssaySamplesColumn : std::size_t { id, label, food, reference, firstShare };

struct ShareColumn {
    const char* name;
    const char* label;
    std::optional<double> AssaySample::*member;
};

constexpr std::array shareColumns{
    ShareColumn{"total_starch_percent", "Total starch (%)", &AssaySample::totalStarchPercent},
    ShareColumn{"free_glucose_percent", "Free glucose (%)", &AssaySample::freeGlucosePercent},
    ShareColumn{"moisture_percent", "Moisture (%)", &AssaySample::moisturePercent},
    ShareColumn{"total_starch_se_percent", "Standard error of total starch (%)",
                &AssaySample::totalStarchSePercent},
    ShareColumn{"free_glucose_se_percent", "Standard error of free glucose (%)",
                &AssaySample::freeGlucoseSePercent}};

constexpr std::size_t columnCount = firstShare + shareColumns.size();

std::vector<TableColumn> columns(const Study& /*study*/) {
    std::vector<TableColumn> list{{"id", "Id", false, true},
                                  {"label", "Label", false, false},
                                  {"food", "Food", false, false},
                                  {"reference", "Reference", false, false}};
    for (const ShareColumn& share : shareColumns) {
        list.push_back({share.name, share.label, true, false});
    }
    return list;
}

std::size_t rows(const Study& study) {
    return study.assays.samples.size();
}

std::string text(const Study& study, std::size_t row, std::size_t column) {
    const AssaySample& sample = study.assays.samples[row];
    switch (column) {
        case id:
            return sample.id;
        case label:
            return sample.label;
        case food:
            return sample.food;
        case reference:
            return yesOrNo(sample.reference);
        default:
            return numberText(sample.*shareColumns[column - firstShare].member);
    }
}

/// Writes one cell but the id into a sample, whose id is set.
Result<Done> put(const Study& study, AssaySample& sample, std::size_t column, std::string_view text,
                 bool takesBack) {
    switch (column) {
        case label: {
            Result<std::string> words = jsonTextFrom(text, "label");
            return words && words.value().empty() ? keep(Result<std::string>{sample.id}, sample.label)
                                                  : keep(std::move(words), sample.label);
        }
        case food:
            return keep(foodIdFrom(study, text, takesBack), sample.food);
        case reference:
            return keep(yesOrNoFrom(text, "reference", false), sample.reference);
        default: {
            const ShareColumn& share = shareColumns[column - firstShare];
            return keep(amountFrom(text, share.name, 0.0, 100.0), sample.*share.member);
        }
    }
}

/// What the settings and samples would be refused for, were they read from study.json.
Result<Done> checked(const AssayData& assays) {
    const std::vector<AssayFault> faults = validate(assays);
    if (faults.empty()) {
        return Done{};
    }
    const AssayFault& first = faults.front();
    return cellProblem(first.key.substr(first.key.find('.') + 1), first.key + " " + first.what, first.remedy);
}

Result<std::string> newIdFrom(const Study& study, const std::string& text, bool takesBack) {
    Result<std::string> read = entryIdFrom(text, "the sample", takesBack);
    if (read && findAssaySample(study.assays, read.value())) {
        return cellProblem("id", "the sample " + quote(text) + " is there already", "give each its own id");
    }
    return read;
}

Result<Done> rename(Study& study, const SetCell& cell) {
    AssaySample& sample = study.assays.samples[cell.row];
    if (cell.text == sample.id) {
        return Done{};
    }
    Result<std::string> newId = newIdFrom(study, cell.text, cell.takesBack);
    if (!newId) {
        return newId.problem();
    }
    if (auto problem = nameInUse(study, NamedThing::assaySample, newId.value())) {
        return *problem;
    }
    renameEverywhere(study, NamedThing::assaySample, sample.id, newId.value());
    sample.id = std::move(newId).value();
    return Done{};
}

Result<Done> set(Study& study, const SetCell& cell) {
    if (cell.column == id) {
        return rename(study, cell);
    }
    std::vector<AssaySample>& samples = study.assays.samples;
    std::vector<AssaySample> before = samples;
    AssaySample& sample = samples[cell.row];
    Result<Done> done = put(study, sample, cell.column, cell.text, cell.takesBack);
    if (cell.column == reference && sample.reference) {
        for (AssaySample& other : samples) {
            other.reference = &other == &sample;  // the mark moves: there is one reference at most
        }
    }
    done = done ? checked(study.assays) : done;
    if (!done) {
        samples = std::move(before);
    }
    return done;
}

Result<std::size_t> insert(Study& study, const InsertRow& change) {
    std::vector<AssaySample>& samples = study.assays.samples;
    if (samples.size() >= mostAssaySamples) {
        return cellProblem({}, "the assays have 100 samples, the most that are read", "split the assays");
    }
    Result<std::string> newId = newIdFrom(study, change.cells[id], change.takesBack);
    if (!newId) {
        return newId.problem();
    }
    AssaySample sample;
    sample.id = std::move(newId).value();
    for (std::size_t column = label; column < columnCount; ++column) {
        if (Result<Done> done = put(study, sample, column, change.cells[column], change.takesBack); !done) {
            return done.problem();
        }
    }
    putInto(samples, change.row, std::move(sample));
    if (const Result<Done> fits = checked(study.assays); !fits) {
        takeOut(samples, change.row);
        return fits.problem();
    }
    return change.row;
}

Result<Done> remove(Study& study, const RemoveRow& change) {
    std::vector<AssaySample>& samples = study.assays.samples;
    AssaySample gone = samples[change.row];
    const auto isOfIt = [&](const AssayReading& reading) { return reading.sample == gone.id; };
    if (std::any_of(study.assays.readings.begin(), study.assays.readings.end(), isOfIt)) {
        return cellProblem(
            "id", "the sample " + quote(gone.id) + " has readings in the assays, and cannot be removed",
            "exclude its digestions instead, or remove those rows first");
    }
    takeOut(samples, change.row);
    Result<Done> fits = checked(study.assays);
    if (!fits) {
        putInto(samples, change.row, std::move(gone));
    }
    return fits;
}

std::string nameOfRow(const Study& study, std::size_t row) {
    return "sample " + shortened(study.assays.samples[row].id);
}

}  // namespace

const TableEdits assaySamplesEdits{columns, rows, text, set, insert, remove, nameOfRow};

}  // namespace aftercurve
