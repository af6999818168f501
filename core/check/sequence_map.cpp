#include "core/check/sequence_map.h"

#include <algorithm>

namespace aftercurve {

std::vector<std::string> sequenceParts(std::string_view sequence) {
    constexpr std::string_view separators = "-,;/> \t";
    std::vector<std::string> parts;
    if (sequence.find_first_of(separators) == std::string_view::npos) {
        // Bytes that continue a UTF-8 letter stay with it.
        for (const char c : sequence) {
            if ((static_cast<unsigned char>(c) & 0xC0U) == 0x80U && !parts.empty()) {
                parts.back() += c;
            } else {
                parts.emplace_back(1, c);
            }
        }
        return parts;
    }
    while (!sequence.empty()) {
        const std::size_t end = std::min(sequence.find_first_of(separators), sequence.size());
        if (end > 0) {
            parts.emplace_back(sequence.substr(0, end));
        }
        sequence.remove_prefix(std::min(end + 1, sequence.size()));
    }
    return parts;
}

std::optional<SequenceMap> bestMap(const std::vector<PartAndFood>& pairs, std::size_t parts,
                                   std::size_t foods) {
    if (parts == 0 || foods == 0 || parts > mostMapped || foods > mostMapped) {
        return std::nullopt;
    }
    std::vector<std::vector<std::size_t>> fits(parts, std::vector<std::size_t>(foods, 0));
    for (const PartAndFood& pair : pairs) {
        ++fits[pair.part][pair.food];
    }
    // best[p][set]: most agreements of parts p.. when the foods of `set` are taken; ways: how many maps reach
    // it. A part may stay without a food, so that more parts than foods can be mapped.
    const std::size_t sets = std::size_t{1} << foods;
    struct Best {
        std::size_t fitting = 0;
        std::size_t ways = 1;
        std::size_t food = 0;  ///< `foods`: none
    };
    std::vector<std::vector<Best>> best(parts + 1, std::vector<Best>(sets));
    for (std::size_t p = parts; p-- > 0;) {
        for (std::size_t set = 0; set < sets; ++set) {
            Best& here = best[p][set];
            here = {0, 0, foods};
            for (std::size_t food = 0; food <= foods; ++food) {
                const bool none = food == foods;
                if (!none && (set >> food & 1U) != 0) {
                    continue;
                }
                // Without a food only where every food is taken, or none of them was seen with this part:
                // else maps that differ in nothing seen would count as rivals.
                if (!none && fits[p][food] == 0) {
                    continue;
                }
                const Best& rest = best[p + 1][none ? set : set | std::size_t{1} << food];
                const std::size_t fitting = rest.fitting + (none ? 0 : fits[p][food]);
                if (here.ways == 0 || fitting > here.fitting) {
                    here = {fitting, rest.ways, food};
                } else if (fitting == here.fitting) {
                    here.ways += rest.ways;
                }
            }
        }
    }
    SequenceMap map;
    map.fitting = best[0][0].fitting;
    map.unique = best[0][0].ways == 1;
    std::size_t set = 0;
    for (std::size_t p = 0; p < parts; ++p) {
        const std::size_t food = best[p][set].food;
        map.foodOf.push_back(food == foods ? std::nullopt : std::optional{food});
        set |= food == foods ? 0 : std::size_t{1} << food;
    }
    return map;
}

}  // namespace aftercurve
