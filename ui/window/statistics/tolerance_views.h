#pragma once

#include "ui/window/statistics/statistics_view.h"

namespace aftercurve {

// Tabs of symptom diaries (step Measures) and of digestion beside response (step Evidence).

StatisticsView symptomsView();
StatisticsView incidenceView();
StatisticsView diaryDaysView();
StatisticsView eventsView();
StatisticsView bridgeView();

}  // namespace aftercurve
