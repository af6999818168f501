#pragma once

#include <QWidget>
#include <functional>
#include <optional>
#include <string>
#include <vector>

#include "core/edit/edit.h"

namespace aftercurve {

class Session;

/// Whether a new row of this table is asked for in a form: its rows name each other, or no two may say the
/// same, so that a copy of a row would not fit.
bool isAskedFor(StudyTable table);

/// What a new row begins with: what it shares with the row `like` (the same digestion, the same diary), the
/// number that counts on, and nothing where a value is to be typed. Without such a row only what is always
/// so.
std::vector<std::string> proposedRow(const Study& study, StudyTable table, std::optional<std::size_t> like);

/// The cells of a row as a form, one field a column; words that the study knows can be chosen.
class RowForm : public QWidget {
    Q_OBJECT

  public:
    RowForm(const Study& study, StudyTable table, const std::vector<std::string>& cells, QWidget* parent);

    std::vector<std::string> cells() const;

  private:
    std::vector<std::function<QString()>> read_;
};

/// Asks for a new row at the end of a table and adds it as one step that can be undone; `added` is called
/// with its position.
void askForRow(Session& session, StudyTable table, std::optional<std::size_t> like, QWidget* parent,
               std::function<void(std::size_t)> added);

}  // namespace aftercurve
