#include "core/findings/fibre_disagreements.h"

#include <cmath>
#include <string>

#include "core/base/number_text.h"
#include "core/portion/composition_sums.h"

namespace aftercurve {

namespace {

/// Two results on the basis that both have.
struct Pair {
    double one = 0.0;
    double other = 0.0;
    bool onDry = false;
};

std::optional<Pair> onSameBasis(const FibreResultFinding& one, const FibreResultFinding& other) {
    if (one.asIsPer100g.value && other.asIsPer100g.value) {
        return Pair{*one.asIsPer100g.value, *other.asIsPer100g.value, false};
    }
    if (one.dryPer100g.value && other.dryPer100g.value) {
        return Pair{*one.dryPer100g.value, *other.dryPer100g.value, true};
    }
    return std::nullopt;
}

std::string grams(double value) {
    return fixedNumber(std::abs(value), 1) + " g";
}

std::string basisWords(bool onDry) {
    return onDry ? "in 100 g of dry matter" : "in 100 g as it is";
}

constexpr const char* notByMethods =
    "; what the two methods measure does not lead to this: look at moisture, basis, sample and laboratory";

FibreDisagreement between(std::size_t one, std::size_t other, const Pair& pair) {
    FibreDisagreement found;
    found.one = one;
    found.other = other;
    found.differenceG = pair.one - pair.other;
    found.onDry = pair.onDry;
    return found;
}

/// Two totals.
void compareTotals(std::span<const FibreResultFinding> results, std::size_t i, std::size_t j,
                   std::vector<FibreDisagreement>& found) {
    const FibreResultFinding& a = results[i];
    const FibreResultFinding& b = results[j];
    const FibreMethod* methodA = findFibreMethod(a.method);
    const FibreMethod* methodB = findFibreMethod(b.method);
    const auto pair = onSameBasis(a, b);
    if (!pair || methodA == nullptr || methodB == nullptr ||
        std::abs(pair->one - pair->other) <= compositionTolerance(std::fmax(pair->one, pair->other))) {
        return;
    }
    FibreDisagreement one = between(i, j, *pair);
    const bool aIsMore = one.differenceG > 0.0;
    const FibreMethod& more = aIsMore ? *methodA : *methodB;
    const FibreMethod& less = aIsMore ? *methodB : *methodA;
    const auto reasons = measuredMoreBy(more, less);
    one.text = "Of " + a.material + ", " + std::string{more.key} + " gives " + grams(one.differenceG) +
               " more fibre " + basisWords(one.onDry) + " than " + std::string{less.key};
    one.explained = !reasons.empty();
    if (one.explained) {
        one.text += ", in line with what it measures to a larger extent: " + labelsOf(reasons) +
                    "; how much each of them brings is not known from these results";
    } else {
        one.text += notByMethods;
    }
    one.text += ".";
    found.push_back(std::move(one));
}

bool measuresResistantStarch(const FibreMethod& method) {
    return method.of(FibrePart::resistantStarch2) == FibreCoverage::whole &&
           method.of(FibrePart::resistantStarch3) == FibreCoverage::whole;
}

/// A total, and resistant starch by a method of its own.
void compareWithStarch(std::span<const FibreResultFinding> results, std::size_t total, std::size_t starch,
                       std::vector<FibreDisagreement>& found) {
    const FibreMethod* method = findFibreMethod(results[total].method);
    const auto pair = onSameBasis(results[total], results[starch]);
    if (!pair || method == nullptr || !(pair->other > 0.0)) {
        return;
    }
    FibreDisagreement one = between(total, starch, *pair);
    const std::string key{method->key};
    const std::string begin = "Of " + results[total].material + ", " + results[starch].method + " gives " +
                              grams(pair->other) + " of resistant starch and " + key + " " +
                              grams(pair->one) + " of fibre " + basisWords(one.onDry) + "; ";
    if (!measuresResistantStarch(*method)) {
        one.text =
            begin + key +
            " measures resistant starch in part only, and how much of it is in that total is not known: "
            "with all of it the fibre lies between " +
            grams(std::fmax(pair->one, pair->other)) + " and " + grams(pair->one + pair->other) +
            ", as far as these two methods go. The two numbers must not be added.";
    } else if (pair->other > pair->one + compositionTolerance(pair->one)) {
        one.explained = false;
        one.text =
            begin + "a total that measures resistant starch cannot be smaller than it" + notByMethods + ".";
    } else {
        one.text =
            begin + key + " measures resistant starch: it is part of that total and must not be added.";
    }
    found.push_back(std::move(one));
}

/// A total against the sum of the fractions that its method gives beside it.
void compareWithSum(std::span<const FibreResultFinding> results, std::size_t total,
                    std::vector<FibreDisagreement>& found) {
    const FibreMethod* method = findFibreMethod(results[total].method);
    if (method == nullptr || !method->gives("insoluble") || !method->gives("soluble-high")) {
        return;
    }
    double sum = 0.0;
    std::size_t last = total;
    std::string words;
    for (const std::string_view fraction : method->fractions) {
        if (fraction == "total") {
            continue;
        }
        std::size_t at = 0;
        while (at < results.size() &&
               !(results[at].sameOrigin(results[total]) && results[at].fraction == fraction)) {
            ++at;
        }
        if (at == results.size() || !results[at].asIsPer100g.value) {
            return;
        }
        sum += *results[at].asIsPer100g.value;
        words += (words.empty() ? "" : " + ") + std::string{fraction};
        last = at;
    }
    const auto& whole = results[total].asIsPer100g.value;
    if (!whole || std::abs(*whole - sum) <= compositionTolerance(*whole)) {
        return;
    }
    FibreDisagreement one = between(total, last, {*whole, sum, false});
    one.explained = false;
    one.text = "Of " + results[total].material + ", the fractions by " + results[total].method + " (" +
               words + ") sum to " + grams(sum) + ", the total is " + grams(*whole) + " " +
               basisWords(false) + ": a total is the sum of its fractions.";
    found.push_back(std::move(one));
}

}  // namespace

std::vector<FibreDisagreement> fibreDisagreements(std::span<const FibreResultFinding> results) {
    std::vector<FibreDisagreement> found;
    for (std::size_t i = 0; i < results.size(); ++i) {
        if (found.size() >= mostDisagreements) {
            break;
        }
        if (results[i].fraction != "total") {
            continue;
        }
        compareWithSum(results, i, found);
        for (std::size_t j = 0; j < results.size() && found.size() < mostDisagreements; ++j) {
            if (results[j].material != results[i].material || j == i) {
                continue;
            }
            if (results[j].fraction == "resistant-starch") {
                compareWithStarch(results, i, j, found);
            } else if (j > i && results[j].fraction == "total" && results[j].method != results[i].method) {
                compareTotals(results, i, j, found);
            }
        }
    }
    return found;
}

}  // namespace aftercurve
