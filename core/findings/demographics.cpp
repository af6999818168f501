#include "core/findings/demographics.h"

#include <algorithm>
#include <set>
#include <string_view>

#include "core/compare/descriptive.h"

namespace aftercurve {

namespace {

using Subjects = std::vector<const Subject*>;

struct Group {
    std::string name;
    std::string key;
    Subjects subjects;
};

std::optional<double> percentOf(std::size_t part, std::size_t whole) {
    return whole == 0 ? std::nullopt
                      : std::optional{100.0 * static_cast<double>(part) / static_cast<double>(whole)};
}

/// All, each sequence by bytes, and those without one; "all" alone where no sequence is given.
std::vector<Group> groupsOf(const Study& study) {
    Group all{"all", "all", {}};
    std::set<std::string_view> sequences;
    for (const Subject& subject : study.subjects) {
        all.subjects.push_back(&subject);
        sequences.insert(subject.sequence);
    }
    const bool someWithout = sequences.erase("") > 0;
    std::vector<Group> groups = {all};
    const auto addGroup = [&](std::string name, std::string_view sequence, std::size_t number) {
        Group group{std::move(name), std::to_string(number), {}};
        std::copy_if(all.subjects.begin(), all.subjects.end(), std::back_inserter(group.subjects),
                     [sequence](const Subject* subject) { return subject->sequence == sequence; });
        groups.push_back(std::move(group));
    };
    std::size_t number = 0;
    for (const std::string_view sequence : sequences) {
        addGroup(std::string{sequence}, sequence, ++number);
    }
    if (someWithout && !sequences.empty()) {
        addGroup("sequence not given", "", 0);
    }
    return groups;
}

DemographicsFinding findingOf(const Group& group, std::string characteristic) {
    DemographicsFinding finding;
    finding.group = group.name;
    finding.groupKey = group.key;
    finding.characteristic = std::move(characteristic);
    return finding;
}

void addSexes(std::vector<DemographicsFinding>& findings, const Group& group,
              const std::set<std::string_view>& sexes) {
    const auto countOf = [&group](std::string_view sex) {
        return static_cast<std::size_t>(
            std::count_if(group.subjects.begin(), group.subjects.end(),
                          [sex](const Subject* subject) { return subject->sex == sex; }));
    };
    const std::size_t missing = countOf("");
    std::size_t number = 0;
    for (const std::string_view sex : sexes) {
        DemographicsFinding finding = findingOf(group, "sex");
        finding.level = sex;
        finding.levelNumber = ++number;
        finding.n = countOf(sex);
        finding.missing = missing;
        finding.percent = percentOf(finding.n, group.subjects.size() - missing);
        findings.push_back(std::move(finding));
    }
}

void addValues(std::vector<DemographicsFinding>& findings, const Group& group, const char* characteristic,
               const char* unit, std::optional<double> Subject::*member) {
    std::vector<double> values;
    for (const Subject* subject : group.subjects) {
        if (const auto& value = subject->*member) {
            values.push_back(*value);
        }
    }
    DemographicsFinding finding = findingOf(group, characteristic);
    finding.unit = unit;
    finding.n = values.size();
    finding.missing = group.subjects.size() - values.size();
    if (!values.empty()) {
        finding.mean = mean(values);
        finding.sd = sampleSd(values);
        finding.median = median(values);
        finding.lowerQuartile = quantile7(values, 0.25);
        finding.upperQuartile = quantile7(values, 0.75);
        finding.minimum = *std::min_element(values.begin(), values.end());
        finding.maximum = *std::max_element(values.begin(), values.end());
    }
    findings.push_back(std::move(finding));
}

bool anyHas(const Study& study, std::optional<double> Subject::*member) {
    return std::any_of(study.subjects.begin(), study.subjects.end(),
                       [member](const Subject& subject) { return (subject.*member).has_value(); });
}

}  // namespace

std::vector<DemographicsFinding> demographicsOf(const Study& study) {
    std::vector<DemographicsFinding> findings;
    if (study.subjects.empty()) {
        return findings;
    }
    std::set<std::string_view> sexes;
    for (const Subject& subject : study.subjects) {
        sexes.insert(subject.sex);
    }
    sexes.erase("");
    for (const Group& group : groupsOf(study)) {
        DemographicsFinding subjects = findingOf(group, "subjects");
        subjects.n = group.subjects.size();
        subjects.percent = percentOf(subjects.n, study.subjects.size());
        findings.push_back(std::move(subjects));
        addSexes(findings, group, sexes);
        if (anyHas(study, &Subject::ageY)) {
            addValues(findings, group, "age_y", "y", &Subject::ageY);
        }
        if (anyHas(study, &Subject::bmiKgM2)) {
            addValues(findings, group, "bmi_kg_m2", "kg/m²", &Subject::bmiKgM2);
        }
    }
    return findings;
}

}  // namespace aftercurve
