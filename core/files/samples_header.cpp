#include "core/files/samples_header.h"

#include <array>
#include <charconv>
#include <memory>
#include <string>

#include "core/files/excerpt.h"

namespace aftercurve {

namespace {

std::string shortNumber(double value) {
    std::array<char, 32> text{};
    const auto end =
        std::to_chars(text.data(), text.data() + text.size(), value, std::chars_format::general, 6);
    return {text.data(), end.ptr};
}

std::string listed(const CsvHeader& header) {
    std::string list;
    for (std::size_t i = 0; i < header.names.size() && i < 12; ++i) {
        list += (i == 0 ? "" : ", ") + quote(header.names[i]);
    }
    return list + (header.names.size() > 12 ? ", ..." : "");
}

class HeaderReading {
  public:
    HeaderReading(const CsvHeader& header, std::string_view file, Study& study,
                  const std::vector<ConversionOptions>& conversions, std::vector<AnalyteState>& states,
                  ProblemList& problems)
        : header_(header),
          file_(file),
          study_(study),
          conversions_(conversions),
          states_(states),
          problems_(problems),
          used_(std::make_unique<bool[]>(header.names.size())) {}

    std::optional<SamplesColumns> read() {
        SamplesColumns columns;
        columns.subject = required("subject");
        columns.food = required("food");
        columns.timeMin = required("time_min");
        columns.visit = unique("visit");
        columns.period = unique("period");
        columns.nominalMin = unique("nominal_min");
        columns.replicate = unique("replicate");
        columns.remark = unique("remark");
        std::vector<bool> taken(study_.analytes.size(), false);
        for (std::size_t i = 0; i < header_.names.size(); ++i) {
            if (!used_[i]) {
                readAnalyteColumn(i, columns, taken);
            }
        }
        reportUnusedColumns(header_, {used_.get(), header_.names.size()}, file_, problems_);
        return failed_ ? std::nullopt : std::optional{std::move(columns)};
    }

  private:
    void fail(std::string_view column, std::string what, std::string remedy) {
        failed_ = true;
        problems_.add(Weight::fatal,
                      problemAt(file_, header_.row, column, std::move(what), std::move(remedy)));
    }

    void failTwice(std::string_view column) {
        fail(column, "the column " + quote(column) + " is there twice",
             "keep one of them, or rename the other");
    }

    std::optional<std::size_t> unique(std::string_view name) {
        const auto found = header_.find(name);
        for (std::size_t i = 0; i < header_.names.size(); ++i) {
            if (header_.names[i] == name) {
                used_[i] = true;
                if (i != *found) {
                    failTwice(name);
                }
            }
        }
        return found;
    }

    std::size_t required(std::string_view name) {
        const auto found = unique(name);
        if (!found) {
            fail(name, "the column " + quote(name) + " is missing; the header has " + listed(header_),
                 "add it, or mend its name in the first row");
        }
        return found.value_or(0);
    }

    void readAnalyteColumn(std::size_t column, SamplesColumns& columns, std::vector<bool>& taken) {
        const std::string& title = header_.names[column];
        NameAndUnit parts{title, {}};
        auto analyte = findAnalyte(study_, title);
        if (!analyte && !title.empty()) {
            parts = splitUnit(title);
            analyte = findAnalyte(study_, parts.name);
        }
        if (!analyte) {
            return;
        }
        used_[column] = true;
        if (taken[*analyte]) {
            failTwice(parts.name);
            return;
        }
        taken[*analyte] = true;
        columns.analytes.push_back({column, *analyte, factorFor(*analyte, title, parts.unit)});
    }

    double factorFor(std::size_t index, const std::string& title, std::string_view unit) {
        Analyte& analyte = study_.analytes[index];
        AnalyteState& state = states_[index];
        const bool declared = !analyte.unit.empty() && !state.unitFromHeader;
        const bool unitless = !declared && unit.empty();
        const bool disagrees = unitless ? state.unitFromHeader : !declared && state.readWithoutUnit;
        if (disagrees) {
            fail(title, "the files give " + shortened(analyte.id) + " both with and without a unit",
                 "give its unit in study.json");
            return 1.0;
        }
        state.found = true;
        if (unit.empty()) {
            state.readWithoutUnit = unitless;
            return 1.0;
        }
        if (analyte.unit.empty()) {
            analyte.unit = canonicalUnit(unit);
            state.unitFromHeader = true;
        }
        const auto factor = conversionFactor(analyte.id, unit, analyte.unit, conversions_[index]);
        if (!factor) {
            fail(title,
                 "the unit " + quote(unit) + " of " + shortened(analyte.id) + " cannot be brought to " +
                     quote(analyte.unit),
                 factor.problem().remedy);
            return 1.0;
        }
        if (canonicalUnit(unit) != analyte.unit) {
            problems_.add(Weight::note, problemAt(file_, header_.row, title,
                                                  shortened(analyte.id) + " is converted from " +
                                                      shortened(unit) + " to " + shortened(analyte.unit) +
                                                      " by the factor " + shortNumber(factor.value())));
        }
        return factor.value();
    }

    const CsvHeader& header_;
    std::string_view file_;
    Study& study_;
    const std::vector<ConversionOptions>& conversions_;
    std::vector<AnalyteState>& states_;
    ProblemList& problems_;
    std::unique_ptr<bool[]> used_;
    bool failed_ = false;
};

}  // namespace

NameAndUnit splitUnit(std::string_view column) {
    const std::size_t open = column.rfind('[');
    if (open == std::string_view::npos || column.back() != ']') {
        return {column, {}};
    }
    return {trimmed(column.substr(0, open)), trimmed(column.substr(open + 1, column.size() - open - 2))};
}

std::optional<SamplesColumns> findSamplesColumns(const CsvHeader& header, std::string_view file, Study& study,
                                                 const std::vector<ConversionOptions>& conversions,
                                                 std::vector<AnalyteState>& states, ProblemList& problems) {
    return HeaderReading{header, file, study, conversions, states, problems}.read();
}

}  // namespace aftercurve
