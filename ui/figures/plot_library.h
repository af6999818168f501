#pragma once

// QCustomPlot's header is written with Qt's keyword macros, which our sources do without. Include it through
// this header only.
#define signals Q_SIGNALS
#define slots Q_SLOTS
// NOLINTNEXTLINE(bugprone-macro-parentheses): a declaration cannot stand in parentheses
#define foreach(variable, container) for (variable : container)
#include <qcustomplot.h>
#undef signals
#undef slots
#undef foreach
