#include "core/check/acceptance.h"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include "core/findings/analyse.h"
#include "tests/support/feeding_study.h"

namespace aftercurve {

using testing::HasSubstr;

namespace {

Problem warning() {
    Problem p;
    p.severity = Severity::warning;
    p.check = "decimal-slip";
    p.subject = "03";
    p.food = "oats";
    p.visit = 1;
    p.analyte = "glucose";
    p.timeMin = 30.0;
    p.what = "it looks misplaced";
    return p;
}

Acceptance acceptance() {
    return {"decimal-slip", "03",        "oats", 1, "glucose", 30.0, "the laboratory confirms it",
            "AB",           "2026-03-02"};
}

}  // namespace

TEST(Acceptance, NamesAProblemByCheckAndPlace) {
    EXPECT_TRUE(accepts(acceptance(), warning()));
    const auto differs = [](auto change) {
        Acceptance other = acceptance();
        change(other);
        return !accepts(other, warning());
    };
    EXPECT_TRUE(differs([](Acceptance& a) { a.check = "fasting-range"; }));
    EXPECT_TRUE(differs([](Acceptance& a) { a.check.clear(); }));
    EXPECT_TRUE(differs([](Acceptance& a) { a.subject = "3"; }));
    EXPECT_TRUE(differs([](Acceptance& a) { a.food = "bread"; }));
    EXPECT_TRUE(differs([](Acceptance& a) { a.visit = 2; }));
    EXPECT_TRUE(differs([](Acceptance& a) { a.analyte = "insulin"; }));
    EXPECT_TRUE(differs([](Acceptance& a) { a.timeMin = 45.0; }));
}

TEST(Acceptance, AFieldLeftOutMatchesAll) {
    Acceptance wide;
    wide.check = "decimal-slip";
    EXPECT_TRUE(accepts(wide, warning()));
    wide.visit = 1;
    EXPECT_TRUE(accepts(wide, warning()));
    // A problem of a whole subject has no visit, and one that names a visit does not mean it.
    Problem ofSubject = warning();
    ofSubject.visit = 0;
    ofSubject.timeMin.reset();
    EXPECT_FALSE(accepts(wide, ofSubject));
    wide.visit.reset();
    EXPECT_TRUE(accepts(wide, ofSubject));
    wide.timeMin = 0.0;
    EXPECT_FALSE(accepts(wide, ofSubject));
}

TEST(Acceptance, ErrorsAndProblemsOfNoCheckAreNeverAccepted) {
    Problem error = warning();
    error.severity = Severity::error;
    Problem plain = warning();
    plain.check.clear();
    std::vector<Problem> problems{error, plain};
    const std::vector<Acceptance> accepted{acceptance()};
    applyAcceptances(problems, accepted);
    EXPECT_EQ(problems[0].acceptedBecause, "");
    EXPECT_EQ(problems[1].acceptedBecause, "");
    ASSERT_EQ(problems.size(), 3U);  // and the acceptance is told to be idle
}

TEST(Acceptance, KeepsTheWarningWithReasonPersonAndDate) {
    std::vector<Problem> problems{warning()};
    applyAcceptances(problems, std::vector<Acceptance>{acceptance()});
    ASSERT_EQ(problems.size(), 1U);
    EXPECT_EQ(problems[0].severity, Severity::warning);
    EXPECT_EQ(problems[0].acceptedBecause, "the laboratory confirms it; AB, 2026-03-02");
    EXPECT_EQ(lineFor(problems[0]),
              "warning: it looks misplaced (accepted: the laboratory confirms it; AB, 2026-03-02)");

    Acceptance bare = acceptance();
    bare.by.clear();
    bare.on.clear();
    problems = {warning()};
    applyAcceptances(problems, std::vector<Acceptance>{bare, acceptance()});
    EXPECT_EQ(problems[0].acceptedBecause, "the laboratory confirms it");  // the first one speaks
    EXPECT_EQ(problems.size(), 1U);                                        // and the second one is not idle

    bare.on = "2026-03-02";
    problems = {warning()};
    applyAcceptances(problems, std::vector<Acceptance>{bare});
    EXPECT_EQ(problems[0].acceptedBecause, "the laboratory confirms it; 2026-03-02");
}

TEST(Acceptance, OneThatNamesNothingAndOneOfAnUnknownCheckAreNotes) {
    std::vector<Problem> problems;
    Acceptance unknown = acceptance();
    unknown.check = "decimal-slips";
    applyAcceptances(problems, std::vector<Acceptance>{acceptance(), unknown});
    ASSERT_EQ(problems.size(), 2U);
    EXPECT_EQ(problems[0].severity, Severity::note);
    EXPECT_EQ(problems[0].file, "study.json");
    EXPECT_EQ(problems[0].column, "accepted[0]");
    EXPECT_THAT(problems[0].what, HasSubstr("accepted, but no such warning"));
    EXPECT_EQ(problems[1].column, "accepted[1]");
    EXPECT_THAT(problems[1].what, HasSubstr("there is no check 'decimal-slips'"));
}

TEST(Acceptance, AcceptedWarningsStandAfterTheOpenOnes) {
    Problem accepted = warning();
    accepted.acceptedBecause = "looked at";
    Problem note = warning();
    note.severity = Severity::note;
    Problem error = warning();
    error.severity = Severity::error;
    Problem second = warning();
    second.what = "second";
    std::vector<Problem> problems{note, accepted, warning(), error, second};
    sortProblems(problems);
    EXPECT_EQ(problems[0], error);
    EXPECT_EQ(problems[1], warning());
    EXPECT_EQ(problems[2], second);
    EXPECT_EQ(problems[3], accepted);
    EXPECT_EQ(problems[4], note);
}

TEST(Acceptance, ReachesTheFindings) {
    test::FeedingStudy data;
    data.cell("03", "oats", 1, 30) = 50.0;
    data.study.accepted = {acceptance()};
    const auto findings = analyse(data.study, data.study.plan);
    ASSERT_TRUE(findings.ok());
    const auto& problems = findings.value().problems;
    const auto slip = std::find_if(problems.begin(), problems.end(),
                                   [](const Problem& p) { return p.check == "decimal-slip"; });
    ASSERT_NE(slip, problems.end());
    EXPECT_EQ(slip->acceptedBecause, "the laboratory confirms it; AB, 2026-03-02");
    // The clinician's warning on the same reading has its own key and stays open.
    const auto reading = std::find_if(problems.begin(), problems.end(),
                                      [](const Problem& p) { return p.check == "clinician-range"; });
    ASSERT_NE(reading, problems.end());
    EXPECT_EQ(reading->acceptedBecause, "");
    EXPECT_LT(reading - problems.begin(), slip - problems.begin());
}

}  // namespace aftercurve
