// The same numbers twice: blocks copied between visits, and whole curves of one subject.
#include <algorithm>
#include <array>
#include <cmath>
#include <functional>
#include <map>
#include <set>

#include "core/base/number_text.h"
#include "core/check/checks.h"
#include "core/check/found.h"

namespace aftercurve::checks {

namespace {

constexpr std::string_view blockKey = "copied-values";
constexpr std::string_view curveKey = "copied-curve";
/// Values in a row, at the same times, before a block looks copied; more where so many curves with so few
/// digits would agree by chance. Common practice, no source.
constexpr std::size_t leastBlock = 5;
constexpr std::size_t leastDistinct = 3;  ///< different values in a block; a flat tail is no sign
constexpr std::size_t leastCurve = 3;     ///< samples of a whole curve
constexpr double chanceAllowed = 0.01;    ///< blocks expected by chance in one analyte

std::size_t mixed(std::size_t seed, double value) {
    return seed ^ (std::hash<double>{}(value) + 0x9e3779b97f4a7c15ULL + (seed << 6U) + (seed >> 2U));
}

using Curves = std::vector<const CheckCurve*>;

std::size_t hashOf(const CheckCurve& curve, std::size_t first, std::size_t length) {
    std::size_t hash = 0;
    for (std::size_t s = first; s < first + length; ++s) {
        hash = mixed(mixed(hash, curve.samples[s].timeMin), curve.samples[s].value);
    }
    return hash;
}

/// How many pairs of curves agree in `length` values in a row at the same times, by chance: of each group of
/// equal blocks one is left out, so that a block and its copy count as nothing, and groups of many count
/// nearly in full.
double agreements(const Curves& curves, std::size_t length) {
    std::vector<std::size_t> hashes;
    for (const CheckCurve* curve : curves) {
        const auto& samples = curve->samples;
        for (std::size_t s = 0; s + length <= samples.size(); ++s) {
            hashes.push_back(hashOf(*curve, s, length));
        }
    }
    std::sort(hashes.begin(), hashes.end());
    double pairs = 0.0;
    for (auto it = hashes.begin(); it != hashes.end();) {
        const auto next = std::upper_bound(it, hashes.end(), *it);
        const auto n = static_cast<double>(next - it) - 1.0;
        pairs += n * (n - 1.0) / 2.0;
        it = next;
    }
    return pairs;
}

/// Smallest block, from `leastBlock` on, of which fewer than `chanceAllowed` are expected by chance: the
/// agreements in two values, times the share that lasts a further value for each value more.
std::size_t blockLength(const Curves& curves) {
    const double one = agreements(curves, 1);
    const double two = agreements(curves, 2);
    if (two <= 0.0) {
        return leastBlock;
    }
    const double share = std::max(two / one, agreements(curves, 3) / two);
    const std::size_t longest = 4 * leastBlock;  // so coarse a study tells nothing, and few curves are longer
    std::size_t length = leastBlock;
    while (length < longest && two * std::pow(share, static_cast<double>(length - 2)) > chanceAllowed) {
        ++length;
    }
    return length;
}

struct Place {
    std::size_t hash = 0;
    std::uint32_t curve = 0;
    std::uint32_t sample = 0;
};

bool equalBlock(const CheckCurve& a, std::size_t i, const CheckCurve& b, std::size_t k, std::size_t length) {
    for (std::size_t s = 0; s < length; ++s) {
        if (a.samples[i + s].timeMin != b.samples[k + s].timeMin ||
            a.samples[i + s].value != b.samples[k + s].value) {
            return false;
        }
    }
    return true;
}

bool sameCurve(const CheckCurve& a, const CheckCurve& b) {
    return a.samples.size() == b.samples.size() && equalBlock(a, 0, b, 0, a.samples.size());
}

/// Whether a block holds at least `wanted` different values.
bool hasDistinct(const CheckCurve& curve, std::size_t first, std::size_t length, std::size_t wanted) {
    std::array<double, leastDistinct> values{};
    std::size_t n = 0;
    for (std::size_t s = first; s < first + length && n < wanted; ++s) {
        const double value = curve.samples[s].value;
        if (std::find(values.begin(), values.begin() + static_cast<std::ptrdiff_t>(n), value) ==
            values.begin() + static_cast<std::ptrdiff_t>(n)) {
            values[n++] = value;
        }
    }
    return n >= wanted;
}

/// Every block of `length` samples with enough different values, equal ones side by side.
std::vector<Place> blocksOf(const Curves& curves, std::size_t length) {
    std::vector<Place> places;
    for (std::uint32_t c = 0; c < curves.size(); ++c) {
        const auto& samples = curves[c]->samples;
        for (std::uint32_t s = 0; s + length <= samples.size(); ++s) {
            if (!hasDistinct(*curves[c], s, length, leastDistinct)) {
                continue;
            }
            const std::size_t hash = hashOf(*curves[c], s, length);
            places.push_back({hash, c, s});
        }
    }
    std::sort(places.begin(), places.end(), [](const Place& a, const Place& b) {
        return std::tie(a.hash, a.curve, a.sample) < std::tie(b.hash, b.curve, b.sample);
    });
    return places;
}

/// Calls `use` for each analyte with the curves to look at.
template <class Use>
void eachAnalyte(const CheckInput& input, Use use) {
    for (std::size_t first = 0; first < input.curves.size();) {
        Curves curves;
        std::size_t last = first;
        for (; last < input.curves.size() && input.curves[last].analyte == input.curves[first].analyte;
             ++last) {
            if (CheckInput::looksAt(input.curves[last])) {
                curves.push_back(&input.curves[last]);
            }
        }
        use(curves);
        first = last;
    }
}

std::vector<Problem> runBlocks(const CheckInput& input) {
    Found found{input, blockKey};
    eachAnalyte(input, [&](const Curves& curves) {
        const std::size_t length = blockLength(curves);
        const std::vector<Place> places = blocksOf(curves, length);
        std::map<std::pair<std::uint32_t, std::uint32_t>, std::pair<std::uint32_t, std::uint32_t>> pairs;
        for (std::size_t i = 1, first = 0; i < places.size(); ++i) {
            const Place& a = places[first];
            const Place& b = places[i];
            if (a.hash != b.hash) {
                first = i;
                continue;
            }
            if (a.curve != b.curve &&
                equalBlock(*curves[a.curve], a.sample, *curves[b.curve], b.sample, length)) {
                const auto [at, isNew] = pairs.try_emplace({b.curve, a.curve}, b.sample, a.sample);
                if (!isNew && b.sample < at->second.first) {
                    at->second = {b.sample, a.sample};
                }
            }
        }
        std::set<std::uint32_t> told;
        for (const auto& [pair, samples] : pairs) {
            const CheckCurve& copy = *curves[pair.first];
            const CheckCurve& other = *curves[pair.second];
            const bool oneSubject = input.visitOf(copy).subject == input.visitOf(other).subject;
            if ((oneSubject && sameCurve(copy, other)) || !told.insert(pair.first).second) {
                continue;
            }
            found.add(Severity::warning, [&, samples = samples] {
                std::size_t n = length;
                while (samples.first + n < copy.samples.size() && samples.second + n < other.samples.size() &&
                       equalBlock(copy, samples.first, other, samples.second, n + 1)) {
                    ++n;
                }
                Problem p = problemAt(input, copy, copy.samples[samples.first]);
                const Problem twin = problemAt(input, other, other.samples[samples.second]);
                p.what += ": " + std::to_string(n) + " values in a row, up to " +
                          plainNumber(copy.samples[samples.first + n - 1].timeMin) +
                          " min, are those of subject " + twin.subject + ", " + twin.food + ", visit " +
                          std::to_string(twin.visit) + " (from " + placeOf(twin) + " on)";
                p.remedy = "look for a block that was copied; one of the two is probably not this visit's";
                return p;
            });
        }
    });
    return found.take();
}

std::vector<Problem> runCurves(const CheckInput& input) {
    Found found{input, curveKey};
    eachAnalyte(input, [&](const Curves& curves) {
        // By subject and by what the curve holds; curves of a subject are not many, but the file may be
        // hostile.
        std::map<std::pair<std::uint32_t, std::size_t>, const CheckCurve*> seen;
        for (const CheckCurve* curve : curves) {
            if (curve->samples.size() < leastCurve || !hasDistinct(*curve, 0, curve->samples.size(), 2)) {
                continue;
            }
            const std::size_t hash = hashOf(*curve, 0, curve->samples.size());
            const auto [at, isNew] = seen.try_emplace({input.visitOf(*curve).subject, hash}, curve);
            if (isNew || !sameCurve(*at->second, *curve)) {
                continue;
            }
            found.add(Severity::warning, [&, first = at->second] {
                Problem p = problemAt(input, *curve);
                const Problem twin = problemAt(input, *first);
                p.what += ": all " + std::to_string(curve->samples.size()) + " values are those of " +
                          twin.food + ", visit " + std::to_string(twin.visit) + " (" + placeOf(twin) + ")";
                p.remedy =
                    "look for rows that were copied; one of the two visits probably lost its own values";
                return p;
            });
        }
    });
    return found.take();
}

}  // namespace

Check copiedValues() {
    return {blockKey, "Values copied between visits",
            "5 values in a row at the same times, more where chance would give as many: common practice, no "
            "source",
            runBlocks};
}

Check copiedCurve() {
    return {curveKey, "Identical curves of one subject",
            "every value of 3 or more: common practice, no source", runCurves};
}

}  // namespace aftercurve::checks
