// `aftercurve-run cut-sensor`, then `analyse` on what it wrote, as processes. Data are invented.
#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include <QProcess>
#include <cstdio>
#include <filesystem>
#include <sstream>

#include "core/files/study_folder.h"
#include "tests/support/temp_folder.h"
#include "ui/headless/sensor_command.h"

namespace aftercurve {
namespace {

using test::TempFolder;
using testing::HasSubstr;
namespace fs = std::filesystem;

struct Ran {
    int exit = -1;
    std::string out;
    std::string messages;
};

Ran run(const std::vector<std::string>& words) {
    QStringList arguments;
    for (const std::string& word : words) {
        arguments << QString::fromStdString(word);
    }
    QProcess program;
    program.start(QStringLiteral(TEST_HEADLESS_PROGRAM), arguments);
    EXPECT_TRUE(program.waitForFinished(120000));
    return {program.exitCode(), program.readAllStandardOutput().toStdString(),
            program.readAllStandardError().toStdString()};
}

std::string clockAt(int day, int minute) {
    char text[32];
    std::snprintf(text, sizeof text, "2026-03-%02d %02d:%02d", day, minute / 60, minute % 60);
    return text;
}

/// Four subjects, three days with a meal at 08:00: a triangle of `height` over 5 mmol/L up to 60 min and back
/// at 120 min, whose area is 60 · height. All values are exact in six digits.
void writeFiles(const TempFolder& folder) {
    std::ostringstream readings;
    std::ostringstream meals;
    readings << "subject,timestamp,glucose [mmol/L]\n";
    meals << "subject,timestamp,food\n";
    const char* foods[] = {"glucose drink", "barley", "pea"};
    for (int subject = 1; subject <= 4; ++subject) {
        for (int day = 0; day < 3; ++day) {
            // Subjects 2 and 3 answer otherwise to one food, so that differences are not all equal.
            const double own = (subject == 3 && day == 1) || (subject == 2 && day == 2) ? 0.75 : 0.0;
            const double height = 3.0 - 0.75 * day + 0.75 * subject + own;
            meals << 's' << subject << ',' << clockAt(2 + day, 480) << ',' << foods[day] << '\n';
            for (int minute = 420; minute <= 720; minute += 5) {
                const double t = minute - 480;
                const double rise = t <= 0 || t >= 120 ? 0.0 : (t <= 60 ? t : 120 - t) / 60.0;
                readings << 's' << subject << ',' << clockAt(2 + day, minute) << ',' << 5.0 + height * rise
                         << '\n';
            }
        }
    }
    folder.write("sensor.csv", readings.str());
    folder.write("meals.csv", meals.str());
}

TEST(HeadlessSensor, AStudyIsWrittenThatAnalyseReads) {
    const TempFolder folder;
    writeFiles(folder);
    const std::string study = (folder.path() / "study").string();
    const std::vector<std::string> cut{"cut-sensor",  (folder.path() / "sensor.csv").string(),
                                       "--meals",     (folder.path() / "meals.csv").string(),
                                       "--out",       study,
                                       "--reference", "glucose drink"};
    const Ran made = run(cut);
    EXPECT_EQ(made.exit, 0) << made.messages;
    EXPECT_EQ(made.messages, "");
    EXPECT_THAT(made.out, HasSubstr("12 meals, 12 curves with 516 readings"));
    const StudyReading read = readStudyFolder(study);
    ASSERT_TRUE(read.study);
    EXPECT_EQ(read.study->draws.size(), 516U);
    EXPECT_EQ(read.study->foods.at(0).role, FoodRole::reference);
    const std::string results = (folder.path() / "results").string();
    const Ran analysed = run({"analyse", study, "--out", results, "--no-figures"});
    EXPECT_EQ(analysed.exit, 0) << analysed.messages;
    EXPECT_TRUE(fs::exists(fs::path{results} / "results.json"));
    // s1 after the glucose drink: height 3.75, area 225.
    EXPECT_THAT(folder.read("results/tables/measures.csv"), HasSubstr(",225,"));

    const std::string before = folder.read("study/samples.csv");
    const Ran again = run(cut);
    EXPECT_EQ(again.exit, 3);
    EXPECT_THAT(again.messages, HasSubstr("is there already"));
    EXPECT_EQ(folder.read("study/samples.csv"), before);
}

SensorCommand commandIn(const TempFolder& folder) {
    SensorCommand command;
    command.readings = folder.path() / "sensor.csv";
    command.meals = folder.path() / "meals.csv";
    command.out = folder.path() / "study";
    return command;
}

TEST(HeadlessSensor, WhatIsLeftOutEndsInFour) {
    const TempFolder folder;
    writeFiles(folder);
    folder.write("meals.csv", folder.read("meals.csv") + "s1,2026-03-09 08:00,pea\n");
    std::ostringstream out;
    std::ostringstream messages;
    EXPECT_EQ(runCutSensor(commandIn(folder), out, messages, false), Exit::partly);
    EXPECT_THAT(messages.str(), HasSubstr("error: meals.csv:14: the meal of 2026-03-09 08:00 is left out"));
    EXPECT_TRUE(fs::exists(folder.path() / "study" / "study.json"));
}

TEST(HeadlessSensor, NothingIsWrittenWhereItCannotBeUsed) {
    const TempFolder folder;
    writeFiles(folder);
    std::ostringstream out;
    std::ostringstream messages;
    SensorCommand command = commandIn(folder);
    command.smooth = "median";
    command.windowReadings = 4;
    EXPECT_EQ(runCutSensor(command, out, messages, false), Exit::usage);
    command = commandIn(folder);
    command.reference = "bread";
    EXPECT_EQ(runCutSensor(command, out, messages, false), Exit::unreadable);
    command = commandIn(folder);
    command.meals = folder.path() / "none.csv";
    EXPECT_EQ(runCutSensor(command, out, messages, false), Exit::unreadable);
    command = commandIn(folder);
    command.out = folder.path();
    EXPECT_EQ(runCutSensor(command, out, messages, false), Exit::unreadable);
    folder.write("meals.csv", "subject,timestamp,food\n");
    EXPECT_EQ(runCutSensor(commandIn(folder), out, messages, false), Exit::unreadable);
    EXPECT_EQ(out.str(), "");
    EXPECT_FALSE(fs::exists(folder.path() / "study"));
}

}  // namespace
}  // namespace aftercurve
