// `aftercurve-run servings`: numbers by hand, and what it refuses.
#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include <CLI/CLI.hpp>
#include <limits>
#include <sstream>

#include "tests/support/temp_folder.h"
#include "ui/headless/portion_command.h"

namespace aftercurve {
namespace {

using test::TempFolder;
using testing::HasSubstr;
using testing::IsEmpty;

struct Said {
    Exit exit = Exit::done;
    std::string out;
    std::string messages;
};

Said servings(const ServingsArguments& arguments) {
    std::ostringstream out;
    std::ostringstream messages;
    const Exit exit = runServings(arguments, out, messages);
    return {exit, out.str(), messages.str()};
}

ServingsArguments slices() {
    ServingsArguments arguments;
    arguments.fibrePerServingG = 2.0;
    arguments.targetG = 30.0;
    return arguments;
}

TEST(HeadlessServings, FifteenSlicesOfTwoGrams) {
    ServingsArguments arguments = slices();
    arguments.servingG = 35.0;
    arguments.carbohydratePerServingG = 16.0;
    arguments.energyPerServingKj = 390.0;
    const Said said = servings(arguments);
    EXPECT_EQ(said.exit, Exit::done);
    EXPECT_THAT(said.messages, IsEmpty());
    EXPECT_EQ(said.out,
              "30 g of fibre: 15 servings of 2 g of fibre each, so 15 whole servings.\n"
              "Food eaten: 525 g\n"
              "Available carbohydrate eaten: 240 g\n"
              "Energy eaten: 5850 kJ (1398 kcal)\n");
}

TEST(HeadlessServings, WhatWasNotGivenIsNotKnown) {
    ServingsArguments arguments = slices();
    arguments.fibrePerServingG = 4.0;
    const Said said = servings(arguments);
    EXPECT_EQ(said.exit, Exit::done);
    EXPECT_THAT(said.out, HasSubstr("7.5 servings of 4 g of fibre each, so 8 whole servings"));
    EXPECT_THAT(said.out, HasSubstr("Food eaten: not known (--serving was not given)"));
    EXPECT_THAT(said.out, HasSubstr("Energy eaten: not known (--energy-per-serving was not given)"));
}

TEST(HeadlessServings, NumbersThatCannotBeUsedAreNamed) {
    for (const double bad : {0.0, -2.0, 1e300, std::numeric_limits<double>::quiet_NaN(),
                             std::numeric_limits<double>::infinity()}) {
        ServingsArguments arguments = slices();
        arguments.fibrePerServingG = bad;
        EXPECT_EQ(servings(arguments).exit, Exit::usage) << bad;
        EXPECT_THAT(servings(arguments).messages, HasSubstr("--fibre-per-serving")) << bad;
        arguments = slices();
        arguments.targetG = bad;
        EXPECT_THAT(servings(arguments).messages, HasSubstr("--target")) << bad;
        arguments = slices();
        arguments.servingG = bad;
        EXPECT_THAT(servings(arguments).messages, HasSubstr("--serving")) << bad;
        EXPECT_THAT(servings(arguments).out, IsEmpty());
    }
    ServingsArguments arguments = slices();
    arguments.carbohydratePerServingG = -1.0;
    EXPECT_EQ(servings(arguments).exit, Exit::usage);
    arguments.carbohydratePerServingG = 0.0;
    EXPECT_EQ(servings(arguments).exit, Exit::done);
}

TEST(HeadlessServings, TheSameNumbersAsCsv) {
    const TempFolder folder;
    ServingsArguments arguments = slices();
    arguments.servingG = 35.0;
    arguments.csv = folder.path() / "servings.csv";
    ASSERT_EQ(servings(arguments).exit, Exit::done);
    EXPECT_EQ(
        folder.read("servings.csv"),
        "fibre_target_g,serving_g,serving_fibre_g,exact,whole,grams,available_carbohydrate_g,energy_kj\n"
        "30,35,2,15,15,525,,\n");
    arguments.csv = folder.path() / "no-such-folder" / "servings.csv";
    const Said said = servings(arguments);
    EXPECT_EQ(said.exit, Exit::unreadable);
    EXPECT_FALSE(said.messages.empty());
    EXPECT_THAT(said.out, IsEmpty());
}

TEST(HeadlessServings, OptionsOfTheCommandLine) {
    const auto parsed = [](std::string line) {
        CLI::App program;
        PortionCommands commands;
        addPortionCommands(program, commands);
        try {
            program.parse(std::move(line));
        } catch (const CLI::ParseError& error) {
            return std::string{"refused: "} + error.what();
        }
        std::ostringstream out;
        std::ostringstream messages;
        const auto exit = runPortionCommand(commands, out, messages);
        return exit == Exit::done ? out.str() : messages.str();
    };
    EXPECT_THAT(parsed("servings --fibre-per-serving 2 --target 30 --serving 35"),
                HasSubstr("Food eaten: 525 g"));
    EXPECT_THAT(parsed("servings --target 30"), HasSubstr("refused: --fibre-per-serving"));
    EXPECT_THAT(parsed("servings --fibre-per-serving two --target 30"), HasSubstr("refused: "));
    EXPECT_EQ(parsed(""), "");
}

}  // namespace
}  // namespace aftercurve
