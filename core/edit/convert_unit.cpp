#include "core/edit/convert_unit.h"

#include <algorithm>

#include "core/base/number_text.h"
#include "core/study/units.h"

namespace aftercurve {

namespace {

Problem refusal(std::string what, std::string remedy) {
    Problem problem;
    problem.what = std::move(what);
    problem.remedy = std::move(remedy);
    return problem;
}

bool matches(const Study& study, const UnitScope& scope, const Draw& draw) {
    return (scope.subject.empty() || study.subjects[draw.subject].id == scope.subject) &&
           (scope.food.empty() || study.foods[draw.food].id == scope.food) &&
           (!scope.visit || draw.visit == *scope.visit) &&
           (scope.file.empty() || study.sampleFiles[draw.file] == scope.file);
}

}  // namespace

Result<std::vector<Change>> unitChanges(const Study& study, const UnitScope& scope, std::string_view typedIn,
                                        double pmolPerUiu) {
    const auto analyte = findAnalyte(study, scope.analyte);
    if (!analyte) {
        return refusal("'" + scope.analyte + "' is no analyte of this study", "choose one of the study");
    }
    const std::string& unit = study.analytes[*analyte].unit;
    const Result<double> factor = conversionFactor(scope.analyte, typedIn, unit, {pmolPerUiu});
    if (!factor) {
        return factor.problem();
    }
    if (canonicalUnit(typedIn) == canonicalUnit(unit)) {
        return refusal("the values are in " + unit + " already", "choose the unit that they were typed in");
    }
    const std::vector<TableColumn> columns = columnsOf(study, StudyTable::samples);
    const auto column = static_cast<std::size_t>(
        std::find_if(columns.begin(), columns.end(),
                     [&](const TableColumn& one) { return one.name == scope.analyte; }) -
        columns.begin());
    std::vector<Change> changes;
    for (std::size_t row = 0; row < study.draws.size(); ++row) {
        if (!matches(study, scope, study.draws[row])) {
            continue;
        }
        if (const auto& value = study.concentrations[*analyte][row]) {
            changes.push_back(
                SetCell{StudyTable::samples, row, column, plainNumber(*value * factor.value())});
        } else if (const auto limit = belowLimitAt(study, static_cast<std::uint32_t>(row),
                                                   static_cast<std::uint32_t>(*analyte))) {
            changes.push_back(
                SetCell{StudyTable::samples, row, column, "<" + plainNumber(*limit * factor.value())});
        }
    }
    if (changes.empty()) {
        return refusal("no value is concerned", "check subject, food and visit");
    }
    return changes;
}

}  // namespace aftercurve
