#pragma once

#include "core/findings/table.h"

namespace aftercurve {

/// One file each in this folder; listed in table_list.cpp.
Table demographicsTable(const Study& study, const Findings& findings);
Table measuresTable(const Study& study, const Findings& findings);
Table summaryTable(const Study& study, const Findings& findings);
Table meanCurvesTable(const Study& study, const Findings& findings);
Table comparisonsTable(const Study& study, const Findings& findings);
Table pairsTable(const Study& study, const Findings& findings);
Table agreementTable(const Study& study, const Findings& findings);
Table agreementSubjectsTable(const Study& study, const Findings& findings);
Table modelTermsTable(const Study& study, const Findings& findings);
Table modelResidualsTable(const Study& study, const Findings& findings);
Table timeCourseTable(const Study& study, const Findings& findings);
Table timeCourseTestsTable(const Study& study, const Findings& findings);
Table modelTable(const Study& study, const Findings& findings);
Table companionsTable(const Study& study, const Findings& findings);
Table ranksTable(const Study& study, const Findings& findings);
Table marginsTable(const Study& study, const Findings& findings);
Table influenceTable(const Study& study, const Findings& findings);
Table crossoverTable(const Study& study, const Findings& findings);
Table crossoverSubjectsTable(const Study& study, const Findings& findings);
Table registeredTable(const Study& study, const Findings& findings);
Table sensitivityTable(const Study& study, const Findings& findings);
Table indexTable(const Study& study, const Findings& findings);
Table indexSubjectsTable(const Study& study, const Findings& findings);
Table conformityTable(const Study& study, const Findings& findings);
Table evidenceTable(const Study& study, const Findings& findings);
Table indexWaysTable(const Study& study, const Findings& findings);
Table indexOutliersTable(const Study& study, const Findings& findings);
Table indexPairsTable(const Study& study, const Findings& findings);
Table indexPairSubjectsTable(const Study& study, const Findings& findings);
Table indexPortionsTable(const Study& study, const Findings& findings);
Table mealsTable(const Study& study, const Findings& findings);
Table mealPartsTable(const Study& study, const Findings& findings);
Table portionsTable(const Study& study, const Findings& findings);
Table servingsTable(const Study& study, const Findings& findings);
Table compositionTable(const Study& study, const Findings& findings);
Table fibreResultsTable(const Study& study, const Findings& findings);
Table fibreMethodsTable(const Study& study, const Findings& findings);
Table fibreStatementsTable(const Study& study, const Findings& findings);
Table recipesTable(const Study& study, const Findings& findings);
Table insulinMeasuresTable(const Study& study, const Findings& findings);
Table insulinSummaryTable(const Study& study, const Findings& findings);
Table subWindowsTable(const Study& study, const Findings& findings);
Table subWindowsCurvesTable(const Study& study, const Findings& findings);
Table withinSubjectTable(const Study& study, const Findings& findings);
Table withinSubjectVisitsTable(const Study& study, const Findings& findings);
Table flowTable(const Study& study, const Findings& findings);
Table toleranceScoresTable(const Study& study, const Findings& findings);
Table toleranceSummaryTable(const Study& study, const Findings& findings);
Table toleranceTestsTable(const Study& study, const Findings& findings);
Table toleranceDosesTable(const Study& study, const Findings& findings);
Table toleranceOrdinalTable(const Study& study, const Findings& findings);
Table toleranceIncidenceTable(const Study& study, const Findings& findings);
Table toleranceCategoriesTable(const Study& study, const Findings& findings);
Table diaryMissingTable(const Study& study, const Findings& findings);
Table adverseEventsTable(const Study& study, const Findings& findings);
Table adverseEventCountsTable(const Study& study, const Findings& findings);
Table bridgeTable(const Study& study, const Findings& findings);
Table digestionFractionsTable(const Study& study, const Findings& findings);
Table digestionFitsTable(const Study& study, const Findings& findings);
Table digestionSlopesTable(const Study& study, const Findings& findings);
Table digestionIndexTable(const Study& study, const Findings& findings);
Table digestionComparisonsTable(const Study& study, const Findings& findings);
Table digestionReadingsTable(const Study& study, const Findings& findings);
Table exclusionsTable(const Study& study, const Findings& findings);
Table exclusionsEffectTable(const Study& study, const Findings& findings);
Table problemsTable(const Study& study, const Findings& findings);

}  // namespace aftercurve
