#include "core/findings/figure_captions.h"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include "core/findings/analyse.h"
#include "core/findings/sentence.h"
#include "tests/support/feeding_study.h"

namespace aftercurve {

using testing::AllOf;
using testing::HasSubstr;
using testing::IsEmpty;
using testing::Not;

namespace {

struct Analysed {
    Study study;
    Findings findings;
};

Analysed feeding() {
    Analysed a{test::FeedingStudy(5).study, {}};
    a.study.plan.resamples = 0;
    a.findings = analyse(a.study, a.study.plan).value();
    return a;
}

PanelSpec panel(const std::string& kind) {
    PanelSpec spec;
    spec.kind = kind;
    return spec;
}

FigureSpec figure(std::vector<PanelSpec> panels) {
    FigureSpec spec;
    spec.panels = std::move(panels);
    return spec;
}

}  // namespace

TEST(Captions, SayWhatAMeanCurveShows) {
    const Analysed a = feeding();
    PanelSpec spec = panel("curves_mean");
    EXPECT_EQ(captionOf(a.study, a.findings, figure({spec})),
              "Mean glucose concentration (mmol/L) over time after the first bite, after each food (n = 5; "
              "repeated visits of a subject averaged first). Points are means; bars are ± SEM. Shaded: the "
              "window from 0 to 120 min. SEM, standard error of the mean.");
    spec.frame.spread = FigureSpread::confidenceInterval;
    spec.frame.unit = "mg/dL";
    EXPECT_THAT(captionOf(a.study, a.findings, figure({spec})),
                AllOf(HasSubstr("(mg/dL)"), HasSubstr("± the half-width of the 95 % CI"),
                      HasSubstr("CI, confidence interval"), Not(HasSubstr("SEM"))));
}

TEST(Captions, LetterTheirPanels) {
    const Analysed a = feeding();
    FigureSpec spec = figure({panel("curves_mean"), panel("comparison_estimates")});
    EXPECT_THAT(captionOf(a.study, a.findings, spec),
                AllOf(testing::StartsWith("(A) Mean glucose"), HasSubstr(" (B) Mean differences in ")));
    spec.letters = PanelLetters::small;
    spec.title = "Oats against bread";
    EXPECT_THAT(captionOf(a.study, a.findings, spec),
                AllOf(testing::StartsWith("Oats against bread. (a) "), HasSubstr(" (b) ")));
    spec.letters = PanelLetters::none;
    EXPECT_THAT(captionOf(a.study, a.findings, spec), Not(HasSubstr("(a)")));
}

TEST(Captions, TheWritersOwnWordsStandAsTheyAre) {
    FigureSpec spec = figure({panel("curves_mean")});
    spec.caption = "My <own> words & nothing else";
    EXPECT_EQ(captionOf(Study{}, Findings{}, spec), spec.caption);
}

TEST(Captions, AKindThatIsNotKnownHasItsTitleAlone) {
    FigureSpec spec = figure({panel("nothing_like_it")});
    spec.title = "A title";
    EXPECT_EQ(captionOf(Study{}, Findings{}, spec), "A title.");
}

TEST(Captions, EveryKindHasWordsForAStudyAndForNone) {
    const Analysed a = feeding();
    for (const CaptionKind& kind : captionKinds()) {
        for (const std::string& text : {kind.words(a.study, a.findings, panel(std::string{kind.key})),
                                        kind.words(Study{}, Findings{}, panel(std::string{kind.key}))}) {
            EXPECT_THAT(text, Not(IsEmpty())) << kind.key;
            EXPECT_TRUE(text.ends_with('.')) << text;
            EXPECT_THAT(text, Not(HasSubstr("  "))) << text;
        }
    }
}

TEST(Captions, NameTheTestBehindTheMarks) {
    const Analysed a = feeding();
    for (const char* kind : {"comparison_paired", "comparison_estimates"}) {
        EXPECT_THAT(captionOf(a.study, a.findings, figure({panel(kind)})),
                    AllOf(HasSubstr("paired t test, adjusted by Holm over the foods"), HasSubstr("n = 5")));
    }
}

}  // namespace aftercurve
