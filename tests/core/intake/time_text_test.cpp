// Expected values are read off the texts by hand.
#include "core/intake/time_text.h"

#include <gtest/gtest.h>

#include <string>
#include <utility>
#include <vector>

namespace aftercurve {
namespace {

TEST(TimeText, ReadsMinutesHoursAndSigns) {
    const std::vector<std::pair<std::string, double>> cases{{"15", 15},
                                                            {"-5", -5},
                                                            {"+15 min", 15},
                                                            {"t0", 0},
                                                            {"T 15", 15},
                                                            {"t=30", 30},
                                                            {"T-10", -10},
                                                            {"0'", 0},
                                                            {"15 min", 15},
                                                            {"15min.", 15},
                                                            {"1h", 60},
                                                            {"1:30 h", 90},
                                                            {"1 h 30 min", 90},
                                                            {"1h30", 90},
                                                            {"0.5 h", 30},
                                                            {"1,5 h", 90},
                                                            {"2 Std", 120},
                                                            {"90 Minuten", 90},
                                                            {" 45 ", 45},
                                                            {"2 timmar", 120},
                                                            {"\xe2\x88\x92"
                                                             "5",
                                                             -5},
                                                            {"30\xe2\x80\xb2", 30},
                                                            {"7.5", 7.5},
                                                            {"-0", 0},
                                                            {"min 15", 15}};
    for (const auto& [text, minutes] : cases) {
        const auto read = minutesFrom(text);
        ASSERT_TRUE(read) << text;
        EXPECT_DOUBLE_EQ(*read, minutes) << text;
    }
    EXPECT_DOUBLE_EQ(minutesFrom("1.5", 60.0).value(), 90.0);
}

TEST(TimeText, RefusesWhatIsNoTime) {
    for (const std::string text : {"", "fasting", "t", "15 mmol/L", "1:30", "08:05", "1,500", "1:75 h",
                                   "15 15", "--5", "1e9", "2000000", "15 min 3", "h", "1 h 75 min"}) {
        EXPECT_FALSE(minutesFrom(text)) << text;
    }
    EXPECT_FALSE(minutesFrom(std::string(200, '1')));
}

TEST(TimeText, ReadsTimesOfDay) {
    EXPECT_DOUBLE_EQ(clockFrom("8:05").value(), 485.0);
    EXPECT_DOUBLE_EQ(clockFrom("08:05:30").value(), 485.5);
    EXPECT_DOUBLE_EQ(clockFrom("8h05").value(), 485.0);
    EXPECT_DOUBLE_EQ(clockFrom("08.05 Uhr").value(), 485.0);
    EXPECT_DOUBLE_EQ(clockFrom("12:10 am").value(), 10.0);
    EXPECT_DOUBLE_EQ(clockFrom("1:10 PM").value(), 790.0);
    EXPECT_DOUBLE_EQ(clockFrom("0:00").value(), 0.0);
    for (const std::string text : {"", "24:00", "8:60", "8:5", "805", "8", "13:00 pm", "8:05 x", "-1:00"}) {
        EXPECT_FALSE(clockFrom(text)) << text;
    }
    EXPECT_EQ(clockText(485.0), "08:05");
    EXPECT_EQ(clockText(485.5), "08:05:30");
}

TEST(TimeText, TellsTheFormOfADate) {
    EXPECT_EQ(dateFormOf("2026-03-02"), DateForm::ordered);
    EXPECT_EQ(dateFormOf("13/03/2026"), DateForm::dayFirst);
    EXPECT_EQ(dateFormOf("03/13/2026"), DateForm::monthFirst);
    EXPECT_EQ(dateFormOf("02/03/2026"), DateForm::either);
    EXPECT_EQ(dateFormOf("3.3.26"), DateForm::ordered);
    EXPECT_EQ(dateFormOf("30.2.2026"), DateForm::none);
    EXPECT_EQ(dateFormOf("31/31/2026"), DateForm::none);
    EXPECT_EQ(dateFormOf("5.4"), DateForm::none);
    EXPECT_EQ(dateFormOf("12-03"), DateForm::none);
}

TEST(TimeText, ReadsADateInTheOrderSaidOnly) {
    EXPECT_EQ(dateFrom("02/03/2026", DateOrder::dayMonth).value(), "2026-03-02");
    EXPECT_EQ(dateFrom("02/03/2026", DateOrder::monthDay).value(), "2026-02-03");
    EXPECT_FALSE(dateFrom("02/03/2026", std::nullopt));
    EXPECT_EQ(dateFrom("2026-03-02T00:00:00", std::nullopt).value(), "2026-03-02");
    EXPECT_EQ(dateFrom("03.03.26", std::nullopt).value(), "2026-03-03");
    EXPECT_FALSE(dateFrom("13/02/2026", DateOrder::monthDay));
    EXPECT_EQ(dateFrom("29.2.2028", DateOrder::dayMonth).value(), "2028-02-29");
    EXPECT_FALSE(dateFrom("29.2.2026", DateOrder::dayMonth));
}

}  // namespace
}  // namespace aftercurve
