#pragma once

#include <cstddef>
#include <optional>
#include <string>

#include "core/study/study.h"

namespace aftercurve {

/// What a study holds of its draws beside Study::draws: concentrations, and facts that only some draws have,
/// in short lists sorted by draw. A cell that changes costs a search there, not a pass over the rows.

/// What a concentration cell says.
struct Concentration {
    std::optional<double> value;
    std::optional<double> limit;
    std::optional<CellFlaw> flaw;  ///< its draw and analyte are set where it is put
};

void putConcentration(Study& study, std::size_t row, std::size_t analyte, Concentration read);

/// The flaw of a cell; null where it has none.
const CellFlaw* flawAt(const Study& study, std::size_t row, std::size_t analyte);

/// The cell as text; in the analyte's unit.
std::string concentrationText(const Study& study, std::size_t row, std::size_t analyte);

/// An empty text takes the remark away.
void putRemark(Study& study, std::size_t row, std::string text);

/// Planned time and determination; the list is empty where no draw has one, else as long as `draws`. Where
/// the last one goes, dropEmptyLists is to be called.
void putNominal(Study& study, std::size_t row, const std::optional<double>& minutes);
void putReplicate(Study& study, std::size_t row, std::int32_t number);
void dropEmptyLists(Study& study);

/// Puts a draw before `row`, without any fact beside it, or takes one out with all its facts.
void insertDraw(Study& study, std::size_t row, const Draw& draw);
void removeDraw(Study& study, std::size_t row);

/// True where some draw has a cell of this analyte that is not empty.
bool hasConcentrations(const Study& study, std::size_t analyte);

/// Puts an analyte without any concentration before `index`, or takes one out (hasConcentrations is false).
void insertConcentrations(Study& study, std::size_t index);
void removeConcentrations(Study& study, std::size_t index);

}  // namespace aftercurve
