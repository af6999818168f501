#include "ui/window/step_status.h"

#include <QCoreApplication>
#include <QLocale>
#include <QStringList>
#include <algorithm>
#include <string_view>

#include "core/curve/measures.h"
#include "ui/models/samples_model.h"

namespace aftercurve {

namespace {

QString say(const char* text) {
    return QCoreApplication::translate("stepStatus", text);
}

QString counted(std::size_t count, const char* one, const char* several) {
    return (count == 1 ? say(one) : say(several)).arg(QLocale().toString(static_cast<qulonglong>(count)));
}

QString curvesStatus(const Findings& findings) {
    const auto number = [&](auto test) {
        return static_cast<std::size_t>(std::count_if(findings.curves.begin(), findings.curves.end(), test));
    };
    QStringList parts{counted(findings.curves.size(), "%1 curve", "%1 curves")};
    const std::size_t lost = number([](const CurveFinding& c) { return !c.notEstimable.empty(); });
    const std::size_t excluded = number([](const CurveFinding& c) { return c.excluded; });
    if (lost > 0) {
        parts << counted(lost, "%1 not estimable", "%1 not estimable");
    }
    if (excluded > 0) {
        parts << counted(excluded, "%1 excluded", "%1 excluded");
    }
    return parts.join(QStringLiteral(", "));
}

QString evidenceStatus(const Findings& findings) {
    return findings.evidence.empty() ? say("nothing compared")
                                     : counted(findings.evidence.size(), "%1 point", "%1 points");
}

QString problemsStatus(const std::vector<Problem>& problems) {
    const auto number = [&](Severity severity) {
        return static_cast<std::size_t>(std::count_if(
            problems.begin(), problems.end(),
            [severity](const Problem& p) { return p.severity == severity && p.acceptedBecause.empty(); }));
    };
    QStringList parts;
    if (const std::size_t count = number(Severity::error)) {
        parts << counted(count, "%1 error", "%1 errors");
    }
    if (const std::size_t count = number(Severity::warning)) {
        parts << counted(count, "%1 warning", "%1 warnings");
    }
    if (const std::size_t count = number(Severity::note)) {
        parts << counted(count, "%1 note", "%1 notes");
    }
    const auto accepted = static_cast<std::size_t>(std::count_if(
        problems.begin(), problems.end(), [](const Problem& p) { return !p.acceptedBecause.empty(); }));
    if (accepted > 0) {
        parts << counted(accepted, "%1 accepted", "%1 accepted");
    }
    return parts.isEmpty() ? say("none found") : parts.join(QStringLiteral(", "));
}

QString laboratoryStatus(const Findings& findings) {
    QStringList parts;
    if (const std::size_t samples = findings.digestion.bySample.size(); samples > 0) {
        parts << counted(samples, "%1 sample", "%1 samples");
    }
    if (const std::size_t results = findings.fibre.results.size(); results > 0) {
        parts << counted(results, "%1 fibre result", "%1 fibre results");
    }
    return parts.isEmpty() ? say("no assays") : parts.join(QStringLiteral(", "));
}

QString toleranceStatus(const Study& study) {
    const std::size_t days = study.diary.days.size();
    return days == 0 ? say("no diary") : counted(days, "%1 diary day", "%1 diary days");
}

}  // namespace

QString statusOf(Step step, const Session& session) {
    if (step == Step::planning) {
        return say("beforehand");
    }
    if (!session.hasStudy()) {
        return {};
    }
    if (step == Step::samples) {
        const std::size_t empty = SamplesModel::emptyDraws(*session.study());
        const QString draws = counted(session.study()->draws.size(), "%1 draw", "%1 draws");
        return empty == 0 ? draws : draws + QStringLiteral(", ") + counted(empty, "%1 empty", "%1 empty");
    }
    if (step == Step::study) {
        const Study& study = *session.study();
        return counted(study.foods.size(), "%1 food", "%1 foods") + QStringLiteral(", ") +
               counted(study.subjects.size(), "%1 subject", "%1 subjects");
    }
    if (step == Step::exclusions) {
        if (session.exclusionsIgnored()) {
            return say("set aside");
        }
        const std::size_t count = session.study()->exclusions.size();
        return count == 0 ? say("none") : counted(count, "%1 exclusion", "%1 exclusions");
    }
    if (step == Step::history) {
        const std::size_t count = session.unsavedChanges().size();
        return count == 0 ? say("all saved") : counted(count, "%1 not saved", "%1 not saved");
    }
    if (step == Step::figures) {
        const std::size_t count = session.study()->figures.size();
        return count == 0 ? say("none yet") : counted(count, "%1 figure", "%1 figures");
    }
    const auto results = session.results();
    if (!results) {
        if (step == Step::problems && !session.isBusy()) {
            return problemsStatus(session.readProblems());
        }
        return session.isBusy() ? say("computing …") : say("no results");
    }
    const Findings& findings = results->findings;
    switch (step) {
        case Step::study:
        case Step::samples:
        case Step::exclusions:
        case Step::figures:
        case Step::history:
        case Step::planning:
            break;
        case Step::curves:
            return curvesStatus(findings);
        case Step::measures:
            return say("%1 a curve").arg(measureList().size());
        case Step::comparisons:
            return findings.comparisons.empty()
                       ? say("nothing to compare yet")
                       : counted(findings.comparisons.size(), "%1 comparison", "%1 comparisons");
        case Step::index:
            if (!findings.plan.index) {
                return say("not in the plan");
            }
            return findings.index.empty() ? say("no reference food")
                                          : counted(findings.index.size(), "%1 food", "%1 foods");
        case Step::laboratory:
            return laboratoryStatus(findings);
        case Step::tolerance:
            return toleranceStatus(*session.study());
        case Step::evidence:
            return evidenceStatus(findings);
        case Step::problems:
            return problemsStatus(findings.problems);
    }
    return {};
}

int changedIn(Step step, const Session& session) {
    const auto sum = [&](std::initializer_list<std::string_view> keys) {
        std::size_t count = 0;
        for (const std::string_view key : keys) {
            count += session.marks().of(key).size();
        }
        return static_cast<int>(count);
    };
    switch (step) {
        case Step::study:
        case Step::samples:
        case Step::figures:
        case Step::problems:
        case Step::history:
        case Step::planning:
            return 0;
        case Step::exclusions:
            return sum({"exclusions_effect"});
        case Step::curves:
            return sum({"mean_curves"});
        case Step::measures:
            return sum({"measures", "summary", "sub_windows", "within_subject", "insulin_summary"});
        case Step::comparisons:
            return sum({"comparisons", "pairs"});
        case Step::index:
            return sum({"index", "index_subjects", "index_pairs", "index_portions", "meals", "conformity"});
        case Step::laboratory:
            return sum({"digestion_fractions", "digestion_fits", "digestion_index", "digestion_comparisons",
                        "fibre_results", "fibre_statements", "recipes", "bridge"});
        case Step::tolerance:
            return sum({"tolerance_tests", "tolerance_incidence"});
        case Step::evidence:
            return sum({"evidence", "portions", "servings", "flow"});
    }
    return 0;
}

}  // namespace aftercurve
