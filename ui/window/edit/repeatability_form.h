#pragma once

class QWidget;

namespace aftercurve {

class Session;

/// Asks for the repeatability of fibre methods in the laboratory's own hands, and changes it as one step that
/// can be undone.
void askForRepeatability(Session& session, QWidget* parent);

}  // namespace aftercurve
