#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include <QProcess>
#include <filesystem>
#include <fstream>
#include <sstream>

#include "core/planning/given_schedule.h"
#include "tests/support/temp_folder.h"
#include "ui/headless/planning_command.h"

namespace aftercurve {

namespace {

using test::TempFolder;
using testing::HasSubstr;
namespace fs = std::filesystem;

struct Said {
    Exit exit = Exit::done;
    std::string out;
    std::string messages;
};

Said power(const PowerArguments& arguments) {
    std::ostringstream out;
    std::ostringstream messages;
    const Exit exit = runPower(arguments, out, messages);
    return {exit, out.str(), messages.str()};
}

PowerArguments differenceOf(double difference, double sd) {
    PowerArguments arguments;
    arguments.question = "difference";
    arguments.difference = difference;
    arguments.sd = sd;
    return arguments;
}

struct Ran {
    int exit = -1;
    std::string out;
    std::string messages;
};

Ran run(const QStringList& words) {
    QProcess process;
    process.start(QStringLiteral(TEST_HEADLESS_PROGRAM), words);
    EXPECT_TRUE(process.waitForFinished(60000));
    return {process.exitCode(), process.readAllStandardOutput().toStdString(),
            process.readAllStandardError().toStdString()};
}

}  // namespace

// Published table of the exact noncentral t: dz 0.5, power 0.80, two-sided 0.05 needs 34.
TEST(HeadlessPower, SubjectsPowerAndWhatCanBeFound) {
    EXPECT_THAT(power(differenceOf(25, 50)).out, HasSubstr("34 subjects who complete"));
    PowerArguments arguments = differenceOf(25, 50);
    arguments.n = 34;
    EXPECT_THAT(power(arguments).out, HasSubstr("With 34 subjects"));
    EXPECT_THAT(power(arguments).out, HasSubstr("power 80.8 %"));
    arguments.difference.reset();
    EXPECT_THAT(power(arguments).out, HasSubstr("smallest difference that is found 24.7"));
}

TEST(HeadlessPower, MissingAndWrongNumbersAreUsage) {
    PowerArguments arguments;
    for (const char* question :
         {"difference", "foods", "equivalence", "non-inferiority", "interval", "index"}) {
        arguments.question = question;
        const Said said = power(arguments);
        EXPECT_EQ(said.exit, Exit::usage) << question;
        EXPECT_THAT(said.messages, HasSubstr("needs --")) << question;
        EXPECT_TRUE(said.out.empty());
    }
    EXPECT_EQ(power(differenceOf(25, 0)).exit, Exit::usage);
    EXPECT_EQ(power(differenceOf(1e301, 1)).exit, Exit::usage);
    arguments = differenceOf(25, 50);
    arguments.power = 1.0;
    EXPECT_EQ(power(arguments).exit, Exit::usage);
    arguments = differenceOf(25, 50);
    arguments.n = 0;
    EXPECT_EQ(power(arguments).exit, Exit::partly);
    const Said tooMany = power(differenceOf(1e-6, 50));
    EXPECT_EQ(tooMany.exit, Exit::partly);
    EXPECT_THAT(tooMany.out, HasSubstr("more than 100000 subjects"));
}

// SD of differences of the sample study: 42.4465 (tests/reference/sample_studies_comparisons.csv).
TEST(HeadlessPower, TakesTheScatterFromAnEarlierStudy) {
    PowerArguments arguments;
    arguments.question = "difference";
    arguments.difference = 40.0;
    arguments.study = fs::path(TEST_SAMPLES) / "barley-index";
    arguments.source = "differences";
    arguments.food = "pearled-porridge";
    const Said said = power(arguments);
    EXPECT_EQ(said.exit, Exit::done) << said.messages;
    EXPECT_THAT(said.out, HasSubstr("SD of differences 42.45 mmol/L"));
    EXPECT_THAT(said.out, HasSubstr("42.44651433 mmol"));
    arguments.sd = 1.0;
    EXPECT_EQ(power(arguments).exit, Exit::usage);
    arguments.sd.reset();
    arguments.food = "none";
    EXPECT_EQ(power(arguments).exit, Exit::partly);
    arguments.study = "/no/such/folder";
    EXPECT_EQ(power(arguments).exit, Exit::unreadable);
}

TEST(HeadlessPower, WritesTheCurve) {
    const TempFolder folder;
    PowerArguments arguments = differenceOf(25, 50);
    arguments.out = folder.path() / "new";
    EXPECT_EQ(power(arguments).exit, Exit::done);
    std::ifstream in(folder.path() / "new" / "power_curve.csv");
    std::string line;
    std::getline(in, line);
    EXPECT_EQ(line, "subjects,power");
    std::string found;
    while (std::getline(in, line)) {
        found = line.starts_with("34,") ? line : found;
    }
    EXPECT_THAT(found, HasSubstr("34,0.80777750127"));
}

TEST(HeadlessRandomise, WritesAScheduleThatCheckScheduleFindsBalanced) {
    const TempFolder folder;
    const QString out = QString::fromStdString((folder.path() / "plan").string());
    const QStringList words{QStringLiteral("randomise"),  QStringLiteral("--foods"), QStringLiteral("a,b,c"),
                            QStringLiteral("--subjects"), QStringLiteral("24"),      QStringLiteral("--seed"),
                            QStringLiteral("7"),          QStringLiteral("--out"),   out};
    const Ran made = run(words);
    EXPECT_EQ(made.exit, 0) << made.messages;
    EXPECT_TRUE(made.messages.empty());
    EXPECT_THAT(made.out,
                HasSubstr("24 subjects; foods over periods balanced, carry-over balanced, orders balanced"));
    const GivenReading read = readScheduleFile(folder.path() / "plan" / "schedule.csv");
    ASSERT_TRUE(read.schedule);
    EXPECT_EQ(read.schedule->subjects.size(), 24U);
    const Ran checked = run({QStringLiteral("check-schedule"), out + QStringLiteral("/schedule.csv")});
    EXPECT_EQ(checked.exit, 0);
    EXPECT_THAT(checked.out,
                HasSubstr("24 subjects; foods over periods balanced, carry-over balanced, orders balanced"));
    EXPECT_TRUE(checked.messages.empty());

    EXPECT_EQ(run(words + QStringList{QStringLiteral("--sealed")}).exit, 0);
    EXPECT_TRUE(fs::is_regular_file(folder.path() / "plan" / "key" / "key.csv"));
    EXPECT_EQ(run(words + QStringList{QStringLiteral("--strata"), QStringLiteral("x:12")}).exit, 2);
    EXPECT_EQ(run(words + QStringList{QStringLiteral("--block"), QStringLiteral("5")}).exit, 2);
    EXPECT_EQ(run(words + QStringList{QStringLiteral("--design"), QStringLiteral("odd")}).exit, 2);
    EXPECT_EQ(run({QStringLiteral("check-schedule"), out + QStringLiteral("/none.csv")}).exit, 3);
    EXPECT_EQ(run({QStringLiteral("power"), QStringLiteral("difference")}).exit, 2);
    EXPECT_EQ(run({QStringLiteral("power"), QStringLiteral("difference"), QStringLiteral("--difference"),
                   QStringLiteral("nan"), QStringLiteral("--sd"), QStringLiteral("1")})
                  .exit,
              2);
}

TEST(HeadlessRandomise, StrataByNameAndNumber) {
    const TempFolder folder;
    RandomiseArguments arguments;
    arguments.foods = {"oats", "pea"};
    arguments.strata = {"women:7", "men:6"};
    arguments.out = folder.path();
    std::ostringstream out;
    std::ostringstream messages;
    EXPECT_EQ(runRandomise(arguments, out, messages), Exit::done);
    EXPECT_THAT(messages.str(), HasSubstr("note: the last block of stratum 'women' holds 1 of 2"));
    EXPECT_THAT(out.str(), HasSubstr("Stratum men: 6 subjects"));
    for (const char* bad : {"women", "women:", "women:x", "women:-1", "women:1.5", ":"}) {
        arguments.strata = {bad};
        EXPECT_EQ(runRandomise(arguments, out, messages), Exit::usage) << bad;
    }
    arguments.strata.clear();
    arguments.subjects = 4;
    arguments.out = folder.path() / "schedule.csv" / "below";
    EXPECT_EQ(runRandomise(arguments, out, messages), Exit::unreadable);
}

}  // namespace aftercurve
