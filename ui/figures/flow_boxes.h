#pragma once

#include <functional>
#include <string>
#include <vector>

#include "core/findings/study_flow.h"
#include "core/study/study.h"

namespace aftercurve {

/// A box of the flow, in the pixels of its figure from the left top.
struct FlowBox {
    double x = 0.0;
    double y = 0.0;
    double width = 0.0;
    double height = 0.0;
    std::vector<std::string> lines;  ///< wrapped to the width
    std::string name;     ///< "on record", "sequence:AB", "stage:AB:2", "stage:AB:0:oats", "analysed"
    bool strong = false;  ///< the boxes of whole counts

    double right() const { return x + width; }
    double bottom() const { return y + height; }
};

/// A straight line; `head`: an arrow head at its end.
struct FlowLine {
    double x1 = 0.0;
    double y1 = 0.0;
    double x2 = 0.0;
    double y2 = 0.0;
    bool head = false;
};

struct FlowBoxes {
    std::vector<FlowBox> boxes;
    std::vector<FlowLine> lines;
    double scale = 1.0;           ///< of the font
    bool grouped = false;         ///< sequences stand together, because there are too many for the width
    bool reasonsCounted = false;  ///< reasons are counted and not written out, for want of room
};

/// How wide a text is and how high a line, at a scale of the font.
struct FlowFont {
    std::function<double(const std::string& text, double scale)> width;
    std::function<double(double scale)> lineHeight;
};

/// Boxes of a flow in so much room: those on record on top, a column for each sequence with a box for each
/// period (in studies without periods: each food), those analysed at the bottom. Texts wrap inside their
/// boxes, and no two boxes overlap. More than eight sequences stand together in one column. Where the text
/// does not fit, the font shrinks to 5/8; then reasons are counted only; then sequences are grouped; then the
/// font shrinks further, so that every flow has its boxes inside the room.
FlowBoxes flowBoxes(const Study& study, const StudyFlow& flow, double width, double height,
                    const FlowFont& font);

}  // namespace aftercurve
