// Sensor readings: 30 invented subjects, one reading in 5 min, three meals a day.
#include <benchmark/benchmark.h>

#include <cmath>
#include <cstdio>
#include <string>

#include "core/sensor/sensor_curves.h"

namespace {

using namespace aftercurve;

constexpr int subjects = 30;

/// Readings on days from 2026-01-01 on, months of 28 days, so that the text needs no calendar.
std::string readingsText(int readings) {
    std::string text = "subject,timestamp,glucose [mmol/L]\n";
    text.reserve(static_cast<std::size_t>(readings) * 30);
    const int each = readings / subjects;
    char row[64];
    for (int s = 1; s <= subjects; ++s) {
        for (int i = 0; i < each; ++i) {
            const int day = i / 288;
            const int minute = 5 * (i % 288);
            const double value = 5.5 + std::sin(0.05 * i) + 0.3 * std::sin(1.7 * i + s);
            std::snprintf(row, sizeof row, "%02d,2026-%02d-%02d %02d:%02d,%.1f\n", s, 1 + day / 28 % 12,
                          1 + day % 28, minute / 60, minute % 60, value);
            text += row;
        }
    }
    return text;
}

std::string mealsText(int readings) {
    std::string text = "subject,timestamp,food\n";
    char row[64];
    for (int s = 1; s <= subjects; ++s) {
        for (int day = 0; day < readings / subjects / 288; ++day) {
            for (const int hour : {7, 12, 18}) {
                std::snprintf(row, sizeof row, "%02d,2026-%02d-%02d %02d:03,food-%d\n", s, 1 + day / 28 % 12,
                              1 + day % 28, hour, hour);
                text += row;
            }
        }
    }
    return text;
}

SensorCutOptions optionsFor(int kind) {
    SensorCutOptions options;
    options.smoothing.kind = static_cast<SensorSmoothing>(kind);
    return options;
}

Source sourceOf(const std::string& text) {
    return sourceFromBytes("sensor.csv", text).value();
}

/// Opening from memory, reading, smoothing and cutting.
void sensorReadSmoothCut(benchmark::State& state) {
    const int readings = static_cast<int>(state.range(0));
    const std::string text = readingsText(readings);
    const MealMarks marks = *readMealMarks(sourceOf(mealsText(readings))).marks;
    const SensorCutOptions options = optionsFor(static_cast<int>(state.range(1)));
    for (auto _ : state) {
        const SensorReadingsRead read = readSensorReadings(sourceOf(text));
        const Result<SensorCurves> curves = sensorCurves(*read.readings, marks, options);
        benchmark::DoNotOptimize(curves.value().used);
    }
    state.SetItemsProcessed(state.iterations() * readings);
}

void sensorSmoothCut(benchmark::State& state) {
    const int readings = static_cast<int>(state.range(0));
    const SensorReadings read = *readSensorReadings(sourceOf(readingsText(readings))).readings;
    const MealMarks marks = *readMealMarks(sourceOf(mealsText(readings))).marks;
    const SensorCutOptions options = optionsFor(static_cast<int>(state.range(1)));
    for (auto _ : state) {
        const Result<SensorCurves> curves = sensorCurves(read, marks, options);
        benchmark::DoNotOptimize(curves.value().used);
    }
    state.SetItemsProcessed(state.iterations() * readings);
}

}  // namespace

BENCHMARK(sensorReadSmoothCut)->ArgsProduct({{100'000, 1'000'000}, {0, 1, 2}})->Unit(benchmark::kMillisecond);
BENCHMARK(sensorSmoothCut)->ArgsProduct({{1'000'000}, {0, 1, 2}})->Unit(benchmark::kMillisecond);
