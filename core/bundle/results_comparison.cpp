#include "core/bundle/results_comparison.h"

#include <algorithm>
#include <cmath>
#include <utility>

#include "core/bundle/bundle_file.h"
#include "core/files/excerpt.h"
#include "core/files/json_text.h"
#include "core/files/problem_list.h"
#include "core/files/read_file.h"

namespace aftercurve {

namespace {

constexpr int resultsDepth = 32;

std::string shownJson(const Json& json) {
    if (json.is_structured()) {
        return json.is_array() ? "a list" : "an object";
    }
    return shortened(json.dump(-1, ' ', false, Json::error_handler_t::replace));
}

/// |a - b| / max(|a|, |b|), 0 for the same, at most 2; scaled first where the difference would overflow.
double relativeDifference(double a, double b) {
    const double scale = std::max(std::abs(a), std::abs(b));
    if (scale == 0.0) {
        return 0.0;
    }
    const double difference = std::abs(a - b);
    return std::isfinite(difference) ? difference / scale : std::abs(a / scale - b / scale);
}

class Comparing {
  public:
    explicit Comparing(ResultsComparison& result) : result_(result) {}

    void compare(const std::string& where, const Json& was, const Json& now, bool asText) {
        if (was.is_object() && now.is_object()) {
            compareObjects(where, was, now, asText);
        } else if (was.is_array() && now.is_array()) {
            compareLists(where, was, now, asText);
        } else {
            compareValues(where, was, now, asText);
        }
    }

  private:
    void compareObjects(const std::string& where, const Json& was, const Json& now, bool asText) {
        for (const auto& [key, value] : was.items()) {
            const std::string path = where.empty() ? key : where + "." + key;
            if (path == "software") {
                continue;
            }
            const auto found = now.find(key);
            if (found == now.end()) {
                tell(asText ? result_.texts : result_.lost, path, &value, nullptr);
            } else {
                compare(path, value, *found, asText || path == "problems");
            }
        }
        for (const auto& [key, value] : now.items()) {
            const std::string path = where.empty() ? key : where + "." + key;
            if (!was.contains(key) && path != "software") {
                tell(asText ? result_.texts : result_.added, path, nullptr, &value);
            }
        }
    }

    void compareLists(const std::string& where, const Json& was, const Json& now, bool asText) {
        const std::size_t both = std::min(was.size(), now.size());
        const auto path = [&](std::size_t i) { return where + "[" + std::to_string(i) + "]"; };
        for (std::size_t i = 0; i < both; ++i) {
            compare(path(i), was[i], now[i], asText);
        }
        for (std::size_t i = both; i < was.size(); ++i) {
            tell(asText ? result_.texts : result_.lost, path(i), &was[i], nullptr);
        }
        for (std::size_t i = both; i < now.size(); ++i) {
            tell(asText ? result_.texts : result_.added, path(i), nullptr, &now[i]);
        }
    }

    void compareValues(const std::string& where, const Json& was, const Json& now, bool asText) {
        const bool numbers = was.is_number() && now.is_number();
        const bool anyNumber = (was.is_number() || now.is_number()) && !asText;
        if (was.is_number() && !asText) {
            ++result_.numbers;
        }
        if (was == now) {
            return;
        }
        if (!numbers || asText) {
            tell(anyNumber ? result_.differingNumbers : result_.texts, where, &was, &now);
            return;
        }
        const double relative = relativeDifference(was.get<double>(), now.get<double>());
        tell(result_.differingNumbers, where, &was, &now, relative);
        if (!result_.largest || relative > *result_.largest->relative) {
            result_.largest = ResultsDifference{where, shownJson(was), shownJson(now), relative};
        }
    }

    void tell(std::size_t& count, const std::string& where, const Json* was, const Json* now,
              std::optional<double> relative = {}) {
        ++count;
        if (result_.listed.size() < mostListedDifferences) {
            result_.listed.push_back({printable(where), was == nullptr ? "" : shownJson(*was),
                                      now == nullptr ? "" : shownJson(*now), relative});
        }
    }

    ResultsComparison& result_;
};

Result<Json> resultsFrom(std::string_view text, const char* which) {
    if (text.size() > mostResultsBytes) {
        return problemAt(
            bundleResultsName, 0, {},
            std::string{which} + " have more than the " + megabytes(mostResultsBytes) + " that are compared",
            "check that it is the right file");
    }
    auto json = parseJson(text, bundleResultsName, resultsDepth);
    if (json && !(json.value().is_object() && json.value().value("format", Json{}) == "aftercurve-results")) {
        return problemAt(bundleResultsName, 0, {}, std::string{which} + " are no results of this program",
                         "get the bundle anew from where it is deposited");
    }
    return json;
}

SoftwareWords softwareOf(const Json& results) {
    const auto software = results.find("software");
    const auto word = [&](const char* key) -> std::string {
        if (software == results.end() || !software->is_object() || !software->contains(key) ||
            !(*software)[key].is_string()) {
            return "unknown";
        }
        return printable((*software)[key].get<std::string>());
    };
    return {word("version"), word("revision")};
}

}  // namespace

Result<ResultsComparison> compareResults(std::string_view was, std::string_view now) {
    const auto before = resultsFrom(was, "the results of the bundle");
    if (!before) {
        return before.problem();
    }
    const auto after = resultsFrom(now, "the results computed anew");
    if (!after) {
        return after.problem();
    }
    ResultsComparison result;
    result.softwareWas = softwareOf(before.value());
    result.softwareNow = softwareOf(after.value());
    Comparing{result}.compare({}, before.value(), after.value(), false);
    return result;
}

}  // namespace aftercurve
