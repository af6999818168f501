// Number formats and serial numbers. Dates: GNU date -d '1899-12-30 + N days'; formats: ECMA-376 part
// 1, 18.8.30 and 18.8.31.
#include "core/intake/workbook_dates.h"

#include <gtest/gtest.h>

namespace aftercurve {
namespace {

TEST(WorkbookDates, BuiltInFormats) {
    for (unsigned id = 0; id < 60; ++id) {
        const NumberForm expected = (id >= 14 && id <= 17) || id == 22 ? NumberForm::date
                                    : id >= 18 && id <= 21             ? NumberForm::clock
                                    : id >= 45 && id <= 47             ? NumberForm::duration
                                                                       : NumberForm::plain;
        EXPECT_EQ(formOfBuiltIn(id), expected) << id;
    }
}

TEST(WorkbookDates, FormatCodes) {
    for (const char* code : {"yyyy-mm-dd", "d. mmmm yyyy", "mmm-yy", "mmm", "[$-409]d-mmm;@",
                             "DD.MM.YYYY HH:MM", "[Red]yyyy", "yyyy\\-mm\\-dd\\Thh:mm"}) {
        EXPECT_EQ(formOfCode(code), NumberForm::date) << code;
    }
    for (const char* code : {"hh:mm", "h:mm AM/PM", "h:mm:ss.000", "[$-F400]h:mm:ss\\ AM/PM"}) {
        EXPECT_EQ(formOfCode(code), NumberForm::clock) << code;
    }
    for (const char* code : {"[h]:mm", "[hh]:mm:ss", "[mm]:ss", "[s]", "mm:ss", "mm:ss.0"}) {
        EXPECT_EQ(formOfCode(code), NumberForm::duration) << code;
    }
    for (const char* code : {"General", "0.00", "#,##0.00 \"mmol/day\"", "0.0E+00", "[Red]-0;0", "0_d",
                             "0\\h", "0;\"h\";[h]", "", "[h", "\"d", "@", "*d0"}) {
        const bool unclosed = std::string_view{code} == "[h";
        EXPECT_EQ(formOfCode(code), unclosed ? NumberForm::duration : NumberForm::plain) << code;
    }
}

void expectDated(const DatedNumber& value, CellKind kind, double number, const char* text) {
    EXPECT_EQ(value.kind, kind) << text;
    EXPECT_EQ(value.number, number) << text;
    EXPECT_EQ(value.text, text);
}

TEST(WorkbookDates, SerialsOfThe1900System) {
    const auto date = [](double serial) { return datedNumber(serial, NumberForm::date, false); };
    expectDated(date(46083.0), CellKind::date, 46083.0, "2026-03-02");
    expectDated(date(46083.75), CellKind::date, 46083.75, "2026-03-02T18:00:00");
    expectDated(date(61.0), CellKind::date, 61.0, "1900-03-01");
    // The system counts a 29 February 1900, so that what is before it is a day later.
    expectDated(date(59.0), CellKind::date, 60.0, "1900-02-28");
    expectDated(date(1.0), CellKind::date, 2.0, "1900-01-01");
    expectDated(date(60.0), CellKind::error, 60.0, "1900-02-29 is no date");
    expectDated(date(0.5), CellKind::clock, 0.5, "12:00:00");
    expectDated(date(2958465.0), CellKind::date, 2958465.0, "9999-12-31");
    expectDated(date(2958466.0), CellKind::number, 2958466.0, "");
    expectDated(date(-1.0), CellKind::number, -1.0, "");
    // Rounding to a second may reach the next day.
    expectDated(date(46083.9999999), CellKind::date, 46083.9999999, "2026-03-03");
}

TEST(WorkbookDates, SerialsOfThe1904System) {
    expectDated(datedNumber(0.0, NumberForm::date, true), CellKind::date, 1462.0, "1904-01-01");
    expectDated(datedNumber(44621.25, NumberForm::date, true), CellKind::date, 46083.25,
                "2026-03-02T06:00:00");
    expectDated(datedNumber(0.25, NumberForm::clock, true), CellKind::clock, 0.25, "06:00:00");
}

TEST(WorkbookDates, ClocksAndDurations) {
    expectDated(datedNumber(0.0, NumberForm::clock, false), CellKind::clock, 0.0, "00:00:00");
    expectDated(datedNumber(0.999999999, NumberForm::clock, false), CellKind::clock, 0.999999999, "23:59:59");
    expectDated(datedNumber(46083.5, NumberForm::clock, false), CellKind::date, 46083.5,
                "2026-03-02T12:00:00");
    expectDated(datedNumber(1.0625, NumberForm::duration, false), CellKind::duration, 1.0625, "25:30:00");
    expectDated(datedNumber(-0.0625, NumberForm::duration, false), CellKind::duration, -0.0625, "-01:30:00");
    expectDated(datedNumber(1e7, NumberForm::duration, false), CellKind::number, 1e7, "");
    expectDated(datedNumber(5.0, NumberForm::plain, false), CellKind::number, 5.0, "");
}

TEST(WorkbookDates, IsoTexts) {
    expectDated(*datedText("2026-03-02"), CellKind::date, 46083.0, "2026-03-02");
    expectDated(*datedText("2026-03-02T12:00:00.000Z"), CellKind::date, 46083.5, "2026-03-02T12:00:00");
    expectDated(*datedText("06:00"), CellKind::clock, 0.25, "06:00:00");
    for (const char* text : {"", "2026-02-30", "2026-3-2", "1899-12-29", "25:00", "06:60", "2026-03-02 08:00",
                             "2026-03-02Tx", "PT1H", "06:00x"}) {
        EXPECT_FALSE(datedText(text).has_value()) << text;
    }
}

}  // namespace
}  // namespace aftercurve
