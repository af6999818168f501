#pragma once

class QWidget;

namespace aftercurve {

/// Makes all text of a window larger or smaller by `ratio`; spacings and rows follow.
void scaleText(QWidget& window, double ratio);

}  // namespace aftercurve
