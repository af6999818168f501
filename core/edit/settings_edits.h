#pragma once

#include "core/edit/edit.h"

namespace aftercurve {

/// Puts settings into a study and gives the change that takes them back. Each fails, with the study as it
/// was, where study.json could not hold the settings or would be refused for them.
Result<Change> putSettings(Study& study, const SetAssaySettings& set);
Result<Change> putSettings(Study& study, const SetFibreSettings& set);
Result<Change> putSettings(Study& study, const SetDiarySettings& set);

/// The settings alone, without the file and the rows of tables.
AssayData settingsOf(const AssayData& assays);
FibreData settingsOf(const FibreData& fibre);
DiaryData settingsOf(const DiaryData& diary);

}  // namespace aftercurve
