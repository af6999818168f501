// The window's own colours can be read in light and in dark palettes: contrast after WCAG 2.1, 1.4.3
// and 1.4.11.
#include "ui/models/look.h"

#include <gtest/gtest.h>

#include <vector>

namespace aftercurve {
namespace {

struct Ground {
    const char* name;
    QColor base;
    QColor text;
    QColor window;
    QColor alternate;
};

// Grounds of desktops, from memory: white paper, blue-grey ink on it, and three dark ones.
const std::vector<Ground> grounds{{"light", "#ffffff", "#000000", "#efefef", "#f7f7f7"},
                                  {"light, grey ink", "#ffffff", "#232629", "#eff0f1", "#f7f7f7"},
                                  {"near black", "#1b1e20", "#fcfcfc", "#2a2e32", "#232629"},
                                  {"dark", "#2d2d2d", "#ffffff", "#323232", "#383838"},
                                  {"dark grey", "#353535", "#ffffff", "#353535", "#3f3f3f"}};

QPalette paletteOf(const Ground& ground) {
    QPalette palette;
    palette.setColor(QPalette::Base, ground.base);
    palette.setColor(QPalette::Text, ground.text);
    palette.setColor(QPalette::WindowText, ground.text);
    palette.setColor(QPalette::Window, ground.window);
    palette.setColor(QPalette::AlternateBase, ground.alternate);
    return palette;
}

// Black on white has 21, a colour with itself 1 (WCAG 2.1, definition of contrast ratio); #767676 on
// white 4.54 (own arithmetic from that definition).
TEST(WindowLook, ContrastIsThatOfTheDefinition) {
    EXPECT_NEAR(contrastOf(Qt::black, Qt::white), 21.0, 1e-9);
    EXPECT_NEAR(contrastOf(Qt::white, Qt::black), 21.0, 1e-9);
    EXPECT_NEAR(contrastOf(QColor("#336699"), QColor("#336699")), 1.0, 1e-9);
    EXPECT_NEAR(contrastOf(QColor("#767676"), Qt::white), 4.54, 0.005);
}

TEST(WindowLook, WordsCanBeReadOnEveryGround) {
    for (const Ground& ground : grounds) {
        SCOPED_TRACE(ground.name);
        const WindowLook look = windowLook(paletteOf(ground));
        for (const QColor& under :
             {ground.base, ground.window, ground.alternate, look.selection, look.mark, look.errorWash}) {
            EXPECT_GE(contrastOf(look.muted, under), leastTextContrast) << under.name().toStdString();
            EXPECT_GE(contrastOf(ground.text, under), leastTextContrast) << under.name().toStdString();
        }
        EXPECT_GE(contrastOf(look.onAccent, look.accent), leastTextContrast);
        EXPECT_GE(contrastOf(look.accent, ground.base), leastTextContrast);
        EXPECT_GE(contrastOf(look.error, look.errorWash), leastTextContrast);
        EXPECT_GE(contrastOf(look.warning, ground.window), leastTextContrast);
    }
}

TEST(WindowLook, SignsStandOutFromTheirGround) {
    for (const Ground& ground : grounds) {
        SCOPED_TRACE(ground.name);
        const WindowLook look = windowLook(paletteOf(ground));
        EXPECT_GE(contrastOf(look.markEdge, look.mark), leastSignContrast);
        EXPECT_GE(contrastOf(look.markEdge, ground.base), leastSignContrast);
        EXPECT_GE(contrastOf(look.error, ground.window), leastSignContrast);
    }
}

}  // namespace
}  // namespace aftercurve
