// Delimiter and decimal mark of invented exports; what is right is plain to a person who looks at them.
#include "core/intake/dialect_guess.h"

#include <gtest/gtest.h>

#include <string>

namespace aftercurve {
namespace {

std::string guessed(const std::string& text) {
    const TextDialect dialect = guessTextDialect(text, {});
    return std::string{dialect.delimiter} + dialect.decimalMark;
}

TEST(DialectGuess, NumbersTellTheDecimalMark) {
    EXPECT_EQ(guessed("t;glucose\n0;5,4\n15;6,1\n30;7\n"), ";,");
    EXPECT_EQ(guessed("t;glucose\n0;5.4\n15;6.1\n30;7\n"), ";.");
    EXPECT_EQ(guessed("t\tglucose\n0\t5,4\n15\t6,1\n"), "\t,");
    EXPECT_EQ(guessed("t|glucose\n0|5.4\n15|6.1\n"), "|.");
    EXPECT_EQ(guessed("t,glucose\n0,\"5,4\"\n15,\"6,1\"\n"), ",,");
    EXPECT_EQ(guessed("t;insulin\n0;<2,0\n15;> 300,5\n"), ";,");
    EXPECT_EQ(guessed("t;insulin\n0;1,5E+02\n15;-2,5e1\n"), ";,");
}

TEST(DialectGuess, DecimalCommasMakeNoColumns) {
    EXPECT_EQ(guessed("a;b;c;d\n5,4;6,1;7,2;8,3\n5,5;6,2;7,3;8,4\n"), ";,");
    EXPECT_EQ(guessed("a\tb\tc\n5,4\t6,1\t7,2\n5,5\t6,2\t7,3\n"), "\t,");
}

TEST(DialectGuess, TitleLinesDoNotDecide) {
    std::string text;
    for (int i = 0; i < 30; ++i) {
        text += "Reader 3, channel " + std::to_string(i) + "\n";
    }
    text += "well;t;a;b;c;d;e\n";
    for (int i = 0; i < 10; ++i) {
        text += "A" + std::to_string(i) + ";0;0,11;0,12;0,13;0,14;0,15\n";
    }
    EXPECT_EQ(guessed(text), ";,");
}

TEST(DialectGuess, TextTablesGoByEvenRowsAndThenByWidth) {
    EXPECT_EQ(guessed("code,food,maker note\nA,barley,dry; cool\nB,pulse,dry; cool\n"), ",.");
    EXPECT_EQ(guessed("code;food;note\nA;barley;dry, cool\nB;pulse;dry\n"), ";.");
}

TEST(DialectGuess, NothingToTellGivesCommaAndPoint) {
    EXPECT_EQ(guessed(""), ",.");
    EXPECT_EQ(guessed("glucose\n5.4\n6.1\n"), ",.");
    EXPECT_EQ(guessed("one line of text"), ",.");
    EXPECT_EQ(guessed("a;b\n1;2\n"), ";.");
}

TEST(DialectGuess, OnlyTheFirstRowsAreLookedAt) {
    std::string text = "t;glucose\n";
    for (int i = 0; i < 200'000; ++i) {
        text += i < 2000 ? "0;5,4\n" : "0,5.4,1,1,1,1,1\n";
    }
    EXPECT_EQ(guessed(text), ";,");
}

}  // namespace
}  // namespace aftercurve
