#include "core/fibre/fibre_methods.h"

#include <algorithm>

#include "core/study/fibre_method_name.h"

namespace aftercurve {

namespace {

constexpr FibreCoverage no = FibreCoverage::none;
constexpr FibreCoverage part = FibreCoverage::part;
constexpr FibreCoverage all = FibreCoverage::whole;

constexpr std::string_view recalled = "AOAC Official Methods of Analysis and reviews of them, from memory";
constexpr std::string_view longDigestion =
    "16 h of digestion underestimate phosphate cross-linked starch (RS4) and fructo-oligosaccharides and may "
    "make resistant oligosaccharides of starch that is not resistant";

/// Coverage in the order of allFibreParts: insoluble, soluble-high, soluble-low, RS1, RS2, RS3, RS4,
/// fructans.
std::vector<FibreMethod> makeMethods() {
    return {{"985.29",
             "enzymes at boiling heat, ethanol precipitate, weighed: total",
             {all, all, no, part, part, part, part, part},
             {"total"},
             "boiling gelatinises and digests much of the resistant starch; what stays soluble in 78 % "
             "ethanol is "
             "lost, and with it short fructans and resistant maltodextrins",
             {{}, {}, {}, {}, "no value at hand"},
             recalled},
            {"991.42",
             "enzymes at boiling heat, residue weighed: insoluble",
             {all, no, no, part, part, part, part, no},
             {"insoluble"},
             "gives insoluble fibre only",
             {{}, {}, {}, {}, "no value at hand"},
             recalled},
            {"991.43",
             "enzymes at boiling heat in one buffer, weighed: insoluble, soluble and total",
             {all, all, no, part, part, part, part, part},
             {"total", "insoluble", "soluble-high"},
             "boiling gelatinises and digests much of the resistant starch; what stays soluble in 78 % "
             "ethanol is "
             "lost, and with it short fructans and resistant maltodextrins",
             {{}, {}, {}, {}, "no value at hand"},
             recalled},
            {"993.19",
             "enzymes at boiling heat, ethanol precipitate of the filtrate weighed: soluble",
             {no, all, no, no, no, no, no, part},
             {"soluble-high"},
             "gives soluble fibre that precipitates only",
             {{}, {}, {}, {}, "no value at hand"},
             recalled},
            {"995.16",
             "enzymes to glucose: (1,3)(1,4)-beta-D-glucan",
             {no, no, no, no, no, no, no, no},
             {"beta-glucan"},
             "one polysaccharide, in the soluble and the insoluble fibre alike; not a total",
             {{}, {}, {}, {}, "no value at hand"},
             recalled},
            {"997.08",
             "enzymes and ion exchange chromatography: fructans",
             {no, no, no, no, no, no, no, all},
             {"fructans"},
             "one kind of fibre; partly counted again in a total that precipitates with ethanol",
             {{}, {}, {}, {}, "no value at hand"},
             recalled},
            {"999.03",
             "enzymes and colour reaction: fructans",
             {no, no, no, no, no, no, no, part},
             {"fructans"},
             "underestimates fructans that were hydrolysed before; partly counted again in a total that "
             "precipitates with ethanol",
             {{}, {}, {}, {}, "no value at hand"},
             recalled},
            {"2001.03",
             "as 985.29, and the soluble rest by liquid chromatography: total",
             {all, all, all, part, part, part, part, all},
             {"total", "soluble-low"},
             "made for foods with resistant maltodextrins; boiling digests much of the resistant starch",
             {{}, {}, {}, {}, "no value at hand"},
             recalled},
            {"2002.02",
             "16 h of digestion at 37 °C, the undigested starch measured as glucose: resistant starch",
             {no, no, no, part, all, all, part, no},
             {"resistant-starch"},
             "resistant starch only; milling opens much of RS1; it is part of the total of a method that "
             "measures "
             "resistant starch and must not be added to it",
             {{}, {}, 1.97, 4.2, "study over laboratories, 2002, RSD_r, from memory"},
             recalled},
            {"2009.01",
             "16 h of digestion at 37 °C, weighed, and the soluble rest by liquid chromatography: total",
             {all, all, all, all, all, all, part, part},
             {"total", "soluble-low"},
             longDigestion,
             {0.41, 1.43, {}, {}, "study over laboratories, 2010, from memory"},
             "scope of ICC Standard No. 191 (draft 2023), read; the rest from memory"},
            {"2011.25",
             "as 2009.01, with insoluble and soluble fibre apart: total",
             {all, all, all, all, all, all, part, part},
             {"total", "insoluble", "soluble-high", "soluble-low"},
             longDigestion,
             {{}, {}, {}, {}, "no value at hand"},
             "scope of ICC Standard No. 191 (draft 2023), read; the rest from memory"},
            {"2017.16",
             "4 h of digestion at 37 °C, weighed, and the soluble rest by liquid chromatography: total",
             {all, all, all, all, all, all, all, all},
             {"total", "soluble-low"},
             "made to do away with what the digestion of 16 h gets wrong",
             {0.29,
              0.74,
              {},
              {},
              "report on its study over laboratories (s_r for total fibre 0.29 to 0.74), read"},
             "scope of ICC Standard No. 191 (draft 2023), read"},
            {"2022.01",
             "as 2017.16, with insoluble and soluble fibre apart: total",
             {all, all, all, all, all, all, all, all},
             {"total", "insoluble", "soluble-high", "soluble-low"},
             "as 2017.16",
             {{}, {}, {}, {}, "no value at hand"},
             "scope of ICC Standard No. 191 (draft 2023), read; its number from memory"}};
}

}  // namespace

std::string_view wordFor(FibreCoverage coverage) {
    switch (coverage) {
        case FibreCoverage::none:
            return "no";
        case FibreCoverage::part:
            return "in part";
        case FibreCoverage::whole:
            return "yes";
    }
    return {};
}

FibreCoverage FibreMethod::of(FibrePart wanted) const {
    for (std::size_t i = 0; i < allFibreParts.size(); ++i) {
        if (allFibreParts[i] == wanted) {
            return coverage[i];
        }
    }
    return FibreCoverage::none;
}

bool FibreMethod::gives(std::string_view fraction) const {
    return std::find(fractions.begin(), fractions.end(), fraction) != fractions.end();
}

std::span<const FibreMethod> fibreMethods() {
    static const std::vector<FibreMethod> methods = makeMethods();
    return methods;
}

const FibreMethod* findFibreMethod(std::string_view name) {
    name = bareMethodName(name);
    const auto methods = fibreMethods();
    const auto found =
        std::find_if(methods.begin(), methods.end(), [name](const FibreMethod& m) { return m.key == name; });
    return found == methods.end() ? nullptr : &*found;
}

std::string fibreMethodKey(std::string_view name) {
    const FibreMethod* method = findFibreMethod(name);
    return std::string{method == nullptr ? name : method->key};
}

FibreSuitability suitabilityOf(const FibreMethod& method, const FibreRule& rule) {
    FibreSuitability suitability;
    suitability.givesTotal = method.givesTotal();
    suitability.named = std::any_of(rule.methods.begin(), rule.methods.end(), [&](const std::string& name) {
        return findFibreMethod(name) == &method;
    });
    for (const FibrePart one : rule.includes) {
        if (method.of(one) == FibreCoverage::none) {
            suitability.missed.push_back(one);
        } else if (method.of(one) == FibreCoverage::part) {
            suitability.partly.push_back(one);
        }
    }
    for (const FibrePart one : rule.leftToAuthority) {
        if (method.of(one) != FibreCoverage::none) {
            suitability.beyond.push_back(one);
        }
    }
    return suitability;
}

std::string_view labelFor(FibrePart one) {
    switch (one) {
        case FibrePart::insoluble:
            return "insoluble fibre";
        case FibrePart::solubleHigh:
            return "soluble fibre that precipitates in ethanol";
        case FibrePart::solubleLow:
            return "soluble fibre that stays in ethanol";
        case FibrePart::resistantStarch1:
            return "resistant starch 1 (enclosed)";
        case FibrePart::resistantStarch2:
            return "resistant starch 2 (granules)";
        case FibrePart::resistantStarch3:
            return "resistant starch 3 (retrograded)";
        case FibrePart::resistantStarch4:
            return "resistant starch 4 (modified)";
        case FibrePart::fructans:
            return "fructans";
    }
    return {};
}

std::string labelsOf(std::span<const FibrePart> parts) {
    std::string text;
    for (const FibrePart one : parts) {
        text += (text.empty() ? "" : ", ") + std::string{labelFor(one)};
    }
    return text;
}

std::vector<FibrePart> measuredMoreBy(const FibreMethod& more, const FibreMethod& less) {
    std::vector<FibrePart> parts;
    for (const FibrePart one : allFibreParts) {
        if (more.of(one) > less.of(one)) {
            parts.push_back(one);
        }
    }
    return parts;
}

}  // namespace aftercurve
