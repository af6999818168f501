#include "core/findings/index_pairs.h"

#include "core/findings/adjusted_p.h"

namespace aftercurve {

namespace {

constexpr double referenceIndex = 100.0;

struct OneIndex {
    std::optional<double> value;
    std::string absentBecause;
};

OneIndex indexOf(const Study& study, const IndexFinding& finding, std::size_t subject) {
    const SubjectIndex& s = finding.index.subjects[subject];
    if (!s.value) {
        return {{}, "no index of " + labelOf(study, finding.food) + ": " + s.absentBecause};
    }
    if (s.leftOut) {
        return {{}, "index of " + labelOf(study, finding.food) + " left out by the outlier rule"};
    }
    return {s.value, {}};
}

/// `other`: the second food's index; null: the reference food.
IndexPair pairOf(const Study& study, const Plan& plan, const IndexFinding& food, const IndexFinding* other) {
    IndexPair pair;
    pair.analyte = food.analyte;
    pair.measure = food.measure;
    pair.food = food.food;
    pair.comparator = other == nullptr ? food.reference : other->food;
    pair.withReference = other == nullptr;
    std::vector<double> a;
    std::vector<double> b;
    for (std::size_t s = 0; s < food.index.subjects.size(); ++s) {
        IndexPairSubject subject;
        subject.subject = food.index.subjects[s].subject;
        const OneIndex one = indexOf(study, food, s);
        const OneIndex two = other == nullptr ? OneIndex{referenceIndex, {}} : indexOf(study, *other, s);
        if (one.value && two.value) {
            a.push_back(*one.value);
            b.push_back(*two.value);
            subject.food = one.value;
            subject.comparator = two.value;
            subject.difference = *one.value - *two.value;
        } else {
            subject.leftOutBecause = one.absentBecause;
            if (!two.absentBecause.empty()) {
                subject.leftOutBecause += (one.absentBecause.empty() ? "" : "; ") + two.absentBecause;
            }
        }
        pair.subjects.push_back(std::move(subject));
    }
    const Differences differences = pairedDifferences(a, b);
    pair.t = pairedT(differences, plan.alpha);
    pair.signedRank = signedRank(differences);
    pair.hodgesLehmann = hodgesLehmann(differences, plan.alpha);
    pair.effect = effectSize(differences);
    return pair;
}

void adjustFamily(Multiplicity rule, std::span<IndexPair> family) {
    std::vector<std::optional<double>> p;
    for (const IndexPair& pair : family) {
        p.push_back(pair.t.p);
    }
    p = adjustedP(rule, p);
    for (std::size_t i = 0; i < family.size(); ++i) {
        family[i].pAdjusted = p[i];
    }
}

}  // namespace

std::vector<IndexPair> indexPairs(const Study& study, const Plan& plan,
                                  std::span<const IndexFinding> indices) {
    std::vector<IndexPair> pairs;
    for (std::size_t first = 0; first < indices.size();) {
        std::size_t last = first;
        while (last < indices.size() && indices[last].analyte == indices[first].analyte) {
            ++last;
        }
        const std::size_t familyStart = pairs.size();
        for (std::size_t i = first; i < last; ++i) {
            for (std::size_t j = i + 1; j < last; ++j) {
                pairs.push_back(pairOf(study, plan, indices[i], &indices[j]));
            }
        }
        for (std::size_t i = first; i < last; ++i) {
            pairs.push_back(pairOf(study, plan, indices[i], nullptr));
        }
        adjustFamily(plan.multiplicity, std::span{pairs}.subspan(familyStart));
        first = last;
    }
    return pairs;
}

}  // namespace aftercurve
