// What the laboratory's limits and remarks say about a curve.
#include <algorithm>
#include <array>
#include <cctype>

#include "core/check/checks.h"
#include "core/check/found.h"

namespace aftercurve::checks {

namespace {

constexpr std::string_view limitKey = "below-limit";
constexpr std::string_view remarkKey = "laboratory-remarks";
constexpr std::size_t listedRows = 10;

std::vector<Problem> runLimit(const CheckInput& input) {
    Found found{input, limitKey};
    for (const CheckCurve& curve : input.curves) {
        const std::size_t below = curve.belowLimit.size();
        const std::size_t all = below + curve.samples.size();
        // More than half: what stands for them decides the curve. Common practice, no source.
        if (!CheckInput::looksAt(curve) || 2 * below <= all) {
            continue;
        }
        found.add(Severity::warning, [&] {
            Problem p = problemAt(input, curve);
            const Problem first = problemAtDraw(input, curve.belowLimit.front());
            p.file = first.file;
            p.row = first.row;
            p.what += ": " + std::to_string(below) + " of " + std::to_string(all) +
                      " values are below the limit of quantification; what the plan puts in their place (" +
                      std::string{wordFor(input.plan.belowLimit)} + ") decides the measures";
            p.remedy = "compare the results with another below_loq in the plan, and say so in the report";
            return p;
        });
    }
    return found.take();
}

struct Kind {
    std::string_view name;
    std::array<std::string_view, 3> words;  ///< lower case
};
constexpr std::array<Kind, 3> kinds{{
    {"dilution", {"dilut", "dil.", "dil 1"}},
    {"haemolysis or lipaemia", {"haemol", "hemol", "lipaem"}},
    {"clotting or too little blood", {"clot", "insufficient", "too little"}},
}};

std::vector<Problem> runRemarks(const CheckInput& input) {
    Found found{input, remarkKey};
    for (const Kind& kind : kinds) {
        std::vector<std::uint32_t> draws;
        for (const DrawRemark& remark : input.study.remarks) {
            std::string text = remark.text;
            std::transform(text.begin(), text.end(), text.begin(),
                           [](unsigned char c) { return static_cast<char>(std::tolower(c)); });
            if (std::any_of(kind.words.begin(), kind.words.end(), [&text](std::string_view word) {
                    return text.find(word) != std::string::npos;
                })) {
                draws.push_back(remark.draw);
            }
        }
        if (draws.empty()) {
            continue;
        }
        found.add(Severity::note, [&] {
            Problem p = problemAtDraw(input, draws.front());
            std::string rows;
            for (std::size_t i = 0; i < std::min(draws.size(), listedRows); ++i) {
                rows += (rows.empty() ? "" : ", ") + placeOf(problemAtDraw(input, draws[i]));
            }
            if (draws.size() > listedRows) {
                rows += " and " + std::to_string(draws.size() - listedRows) + " more";
            }
            if (draws.size() > 1) {
                p.subject.clear();
                p.food.clear();
                p.visit = 0;
                p.timeMin.reset();
            }
            p.column = "remark";
            p.what = std::to_string(draws.size()) + (draws.size() == 1 ? " row has" : " rows have") +
                     " a remark on " + std::string{kind.name} + " (\"" +
                     std::string{remarkOn(input.study, draws.front())} + "\"): " + rows;
            return p;
        });
    }
    return found.take();
}

}  // namespace

Check belowLimit() {
    return {limitKey, "Many values below the limit of quantification",
            "more than half of a curve: common practice, no source", runLimit};
}

Check laboratoryRemarks() {
    return {remarkKey, "Remarks of the laboratory", "no limit", runRemarks};
}

}  // namespace aftercurve::checks
