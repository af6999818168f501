// Every kind of figure has a caption.
#include <gtest/gtest.h>

#include <algorithm>

#include "core/findings/figure_captions.h"
#include "ui/figures/figure.h"

namespace aftercurve {

TEST(FigureCaptions, EveryKindOfFigureHasOne) {
    const auto captions = captionKinds();
    for (const FigureKind& kind : figureList()) {
        EXPECT_TRUE(std::any_of(captions.begin(), captions.end(), [&kind](const CaptionKind& caption) {
            return caption.key == kind.key;
        })) << kind.key;
    }
    EXPECT_GE(captions.size(), figureList().size());
}

}  // namespace aftercurve
