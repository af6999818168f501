#include "core/findings/study_flow.h"

#include <algorithm>
#include <map>
#include <set>
#include <string_view>
#include <tuple>

#include "core/findings/rounded_words.h"
#include "core/findings/sentence.h"

namespace aftercurve {

namespace {

/// Positions in the study, and the number of the visit.
using VisitKey = std::tuple<std::size_t, std::size_t, int>;

/// Period of every visit that a draw or the visits file speaks of; 0: not given.
std::map<VisitKey, int> visitsOf(const Study& study) {
    std::map<VisitKey, int> visits;
    const auto add = [&visits](std::size_t subject, std::size_t food, int visit, int period) {
        int& known = visits[{subject, food, visit}];
        if (known == 0) {
            known = period;
        }
    };
    for (const Draw& draw : study.draws) {
        add(draw.subject, draw.food, draw.visit, draw.period);
    }
    for (const VisitRecord& record : study.visits) {
        add(record.subject, record.food, record.visit, record.period);
    }
    return visits;
}

/// Why a visit does not count; empty: it does.
std::string lossOf(const std::map<VisitKey, const CurveFinding*>& curves, const VisitKey& visit,
                   const std::string& analyte) {
    const auto found = curves.find(visit);
    if (found == curves.end()) {
        return "no " + analyte + " sample on record";
    }
    const CurveFinding& curve = *found->second;
    if (curve.excluded) {
        return "excluded: " +
               (curve.excludedBecause.empty() ? std::string{"no reason given"} : curve.excludedBecause);
    }
    return curve.notEstimable.empty() ? std::string{} : "not estimable: " + curve.notEstimable;
}

/// Subject → its visits at one stage.
using Arrivals = std::map<std::size_t, std::vector<VisitKey>>;

/// Fills in who came, who counts and who does not; the subjects that count go into `counted`.
void count(FlowStage& stage, const Arrivals& arrivals, const std::map<VisitKey, const CurveFinding*>& curves,
           const std::string& analyte, std::set<std::size_t>& counted) {
    std::vector<FlowLoss>& losses = stage.losses;
    const auto lossFor = [&losses](const std::string& reason) -> FlowLoss& {
        const auto found = std::find_if(losses.begin(), losses.end(),
                                        [&reason](const FlowLoss& loss) { return loss.reason == reason; });
        return found != losses.end() ? *found : losses.emplace_back(FlowLoss{reason, 0, 0});
    };
    stage.came = arrivals.size();
    for (const auto& [subject, visits] : arrivals) {
        bool counts = false;
        std::string first;
        for (const VisitKey& visit : visits) {
            const std::string reason = lossOf(curves, visit, analyte);
            if (reason.empty()) {
                counts = true;
                continue;
            }
            ++lossFor(reason).visits;
            first = first.empty() ? reason : first;
        }
        if (counts) {
            ++stage.analysed;
            counted.insert(subject);
        } else {
            ++lossFor(first).subjects;
        }
    }
}

std::vector<std::string> notesOf(const Study& study, const Findings& findings, bool anyPeriod,
                                 std::size_t withoutSequence) {
    std::vector<std::string> notes{
        "How many people were assessed for eligibility, were not eligible or declined is not recorded in the "
        "study files"};
    notes.emplace_back(!study.conduct.randomised
                           ? "Whether the order of the foods was randomised is not recorded in the study "
                             "files"
                       : *study.conduct.randomised ? "The study states that the order was randomised"
                                                   : "The study states that the order was not randomised");
    if (!study.subjects.empty() && withoutSequence == study.subjects.size()) {
        notes.emplace_back("Sequences are not recorded in the study files: all subjects stand together");
    } else if (withoutSequence > 0) {
        notes.push_back("The sequence of " + countedWords(withoutSequence, "subject") +
                        " is not recorded in the study files");
    }
    if (!anyPeriod) {
        notes.emplace_back("Periods are not recorded in the study files");
    }
    if (findings.exclusionsIgnored) {
        notes.emplace_back("This run was asked to ignore the study's exclusions");
    }
    return notes;
}

}  // namespace

StudyFlow studyFlow(const Study& study, const Findings& findings) {
    StudyFlow flow;
    flow.subjects = study.subjects.size();
    const std::string analyte = study.analytes.empty() ? std::string{} : study.analytes.front().id;
    std::map<std::string_view, std::size_t> subjectAt;
    std::map<std::string, std::set<std::size_t>> ofSequence;
    for (std::size_t s = 0; s < study.subjects.size(); ++s) {
        subjectAt.emplace(study.subjects[s].id, s);
        ofSequence[study.subjects[s].sequence].insert(s);
    }
    std::map<VisitKey, const CurveFinding*> curves;
    for (const CurveFinding& curve : findings.curves) {
        const auto subject = subjectAt.find(curve.subject);
        const auto food = findFood(study, curve.food);
        if (curve.analyte == analyte && subject != subjectAt.end() && food) {
            curves.emplace(VisitKey{subject->second, *food, curve.visit}, &curve);
        }
    }

    std::map<std::tuple<std::string, int, std::size_t>, Arrivals> arrivals;
    std::map<std::pair<std::string, int>, std::set<std::size_t>> cameInPeriod;
    std::set<std::size_t> cameAtAll;
    std::set<std::size_t> eaten;
    bool anyPeriod = false;
    for (const auto& [visit, period] : visitsOf(study)) {
        const auto& [subject, food, number] = visit;
        const std::string& sequence = study.subjects[subject].sequence;
        arrivals[{sequence, period, food}][subject].push_back(visit);
        cameInPeriod[{sequence, period}].insert(subject);
        cameAtAll.insert(subject);
        eaten.insert(food);
        anyPeriod = anyPeriod || period > 0;
    }
    flow.without = flow.subjects - cameAtAll.size();

    std::map<std::size_t, std::set<std::size_t>> countedWith;  // food → subjects
    std::set<std::pair<std::string, int>> begun;
    for (const auto& [place, subjects] : arrivals) {
        const auto& [sequence, period, food] = place;
        FlowStage stage;
        stage.sequence = sequence;
        stage.period = period;
        stage.food = study.foods[food].id;
        stage.subjects = ofSequence[sequence].size();
        count(stage, subjects, curves, analyte, countedWith[food]);
        if (period == 0) {
            stage.absent = stage.subjects - stage.came;
        } else if (begun.insert({sequence, period}).second) {
            stage.absent = stage.subjects - cameInPeriod[{sequence, period}].size();
        }
        flow.stages.push_back(std::move(stage));
    }
    for (std::size_t s = 0; s < study.subjects.size(); ++s) {
        const auto counts = [&](std::size_t food) { return countedWith[food].contains(s); };
        flow.analysed += std::any_of(eaten.begin(), eaten.end(), counts) ? 1U : 0U;
        flow.complete += !eaten.empty() && std::all_of(eaten.begin(), eaten.end(), counts) ? 1U : 0U;
    }
    flow.notes = notesOf(study, findings, anyPeriod, ofSequence[""].size());
    return flow;
}

}  // namespace aftercurve
