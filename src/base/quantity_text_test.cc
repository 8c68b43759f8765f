// SPDX-License-Identifier: Apache-2.0
#include "base/quantity_text.h"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include <string>
#include <string_view>
#include <vector>

namespace tautmark {
namespace {

using ::testing::HasSubstr;

constexpr TextRules kComma{.decimal_sign = ','};

// What is wrong with a text, as one line: "0.22|0.22 has no unit|write \"0.22 mm\"".
template <class T>
std::string wrong(std::string_view text, const FromText<T>& read) {
  if (read) return "nothing is wrong";
  const TextError& e = read.error();
  if (e.offset + e.length > text.size()) return "the error points outside the text";
  return std::string(text.substr(e.offset, e.length)) + "|" + e.problem + "|" + e.hint;
}

std::string wrong_value(std::string_view text, std::optional<Kind> wanted,
                        const TextRules& rules = {}) {
  return wrong(text, read_quantity(text, wanted, rules));
}
std::string wrong_measured(std::string_view text, std::optional<Kind> wanted = Kind::length) {
  return wrong(text, read_measured(text, wanted));
}
std::string wrong_interval(std::string_view text, std::optional<Kind> wanted = Kind::length) {
  return wrong(text, read_interval(text, wanted));
}
std::string wrong_list(std::string_view text, const TextRules& rules = {}) {
  return wrong(text, read_list(text, Kind::length, rules));
}

// "27.96..27.98 mm" as read and printed again.
std::string again(std::string_view text, std::optional<Kind> wanted = {},
                  const TextRules& rules = {}) {
  const auto read = read_interval(text, wanted, rules);
  if (!read) return wrong(text, read);
  return interval_text(read->lower_si, read->upper_si, *read->unit, read->decimals);
}

std::string list_again(std::string_view text, const TextRules& rules = {}) {
  const auto read = read_list(text, Kind::length, rules);
  if (!read) return wrong(text, read);
  std::string all;
  for (const AnyQuantity& v : read->values) all += quantity_text(v.si, *v.unit, v.decimals) + "; ";
  return all;
}

TEST(ReadQuantity, KeepsUnitAndDecimalsAsTyped) {
  const auto read = read_quantity("  27.980 mm ", Kind::length);
  ASSERT_TRUE(read);
  EXPECT_EQ(read->kind, Kind::length);
  EXPECT_DOUBLE_EQ(read->si, 0.02798);
  EXPECT_EQ(read->unit->symbol, "mm");
  EXPECT_EQ(read->decimals, 3);
}

TEST(ReadQuantity, ReadsWhatPeopleWrite) {
  const auto si = [](std::string_view text, std::optional<Kind> wanted = {}) {
    const auto read = read_quantity(text, wanted);
    EXPECT_TRUE(read) << wrong(text, read);
    return read ? read->si : 0;
  };
  EXPECT_DOUBLE_EQ(si("1.102\""), 1.102 * 0.0254);
  EXPECT_DOUBLE_EQ(si("+.0015 in"), 0.0015 * 0.0254);
  EXPECT_DOUBLE_EQ(si("-40 degC"), 233.15);
  EXPECT_DOUBLE_EQ(si("−40 °C"), 233.15);  // U+2212 minus sign
  EXPECT_DOUBLE_EQ(si("650 1/min"), 650.0 / 60);
  EXPECT_DOUBLE_EQ(si("1 1/min"), 1.0 / 60);
  EXPECT_DOUBLE_EQ(si("0.35%"), 0.0035);
  EXPECT_DOUBLE_EQ(si("1.5e-3 m"), 0.0015);
  EXPECT_DOUBLE_EQ(si("4 K", Kind::temperature_difference), 4);
  EXPECT_DOUBLE_EQ(si("9 degF", Kind::temperature_difference), 5);
  EXPECT_DOUBLE_EQ(si("27.98\u00A0mm"), 0.02798);  // no-break space
  EXPECT_EQ(read_quantity("95 degC", {})->kind, Kind::temperature);
  EXPECT_EQ(read_quantity("17.1 deg crank", {})->kind, Kind::crank_angle);
  EXPECT_EQ(read_quantity("90 deg", {})->kind, Kind::angle);
  EXPECT_EQ(read_quantity("1.5e-3 m", {})->decimals, 4);
}

TEST(ReadQuantity, ReadsTheDeclaredDecimalComma) {
  EXPECT_DOUBLE_EQ(read_quantity("27,957 mm", Kind::length, kComma)->si, 0.027957);
  EXPECT_EQ(wrong_value("27.957 mm", Kind::length, kComma),
            "27.957|27.957 can be 27,957 or 27957: the decimal sign here is the comma|"
            "write \"27,957\" or \"27957\"");
}

TEST(ReadQuantity, RefusesWithSomethingToType) {
  const Kind l = Kind::length;
  EXPECT_EQ(wrong_value(" 0.22 ", l), "0.22|0.22 has no unit|write \"0.22 mm\"");
  EXPECT_EQ(wrong_value("17.1", Kind::crank_angle),
            "17.1|17.1 has no unit|write \"17.1 deg crank\"");
  EXPECT_THAT(wrong_value("185 kPa", l), HasSubstr("kPa|kPa is a pressure; a length is wanted|"));
  EXPECT_EQ(wrong_value("185 kPA", Kind::pressure),
            "kPA|\"kPA\" is not a unit of pressure|did you mean \"185 kPa\"?");
  EXPECT_EQ(wrong_value("106 lb", Kind::torque),
            "lb|lb alone can be lbf·in or lbf·ft, a factor of 12: say which|"
            "write \"106 lbf·in\" or \"106 lbf·ft\"");
  EXPECT_THAT(wrong_value("1.5 mil", l), HasSubstr("write \"1.5 thou\" or \"1.5 mm\""));
  EXPECT_THAT(wrong_value("3 tenths", l), HasSubstr("write \"0.0003 in\" or \"0.3 mm\""));
  EXPECT_EQ(wrong_value("1 tooth", Kind::crank_angle),
            "tooth|a tooth is a different angle on every sprocket: write the angle in degrees|");
  EXPECT_EQ(wrong_value("12 lb", l),
            "lb|\"lb\" is not a unit of length|the units are mm, um, cm, m, km, in, thou, ft, mi");
  EXPECT_EQ(wrong_value("17.1 deg", Kind::crank_angle),
            "deg|crank or cam degrees? one cam degree is two crank degrees|"
            "write \"17.1 deg crank\", or \"34.2 deg crank\" when it was read at the cam");
  EXPECT_EQ(wrong_value("8.6 deg cam", Kind::crank_angle),
            "deg cam|deg cam is a cam angle; a crank angle is wanted|"
            "one cam degree is two crank degrees: \"17.2 deg crank\"");
  EXPECT_THAT(wrong_value("-300 degC", {}), HasSubstr("below absolute zero, -273.15 degC"));
  EXPECT_THAT(wrong_value("", l), HasSubstr("|empty: a length is wanted|"));
  EXPECT_THAT(wrong_value("  ", {}), HasSubstr("|empty: a quantity is wanted|"));
  EXPECT_THAT(wrong_value("mm", l), HasSubstr("mm|a number is wanted, not \"mm\"|"));
  EXPECT_THAT(wrong_value("inf mm", l), HasSubstr("a number is wanted"));
  EXPECT_THAT(wrong_value("nan mm", l), HasSubstr("a number is wanted"));
  EXPECT_THAT(wrong_value("1/min", {}), HasSubstr("a number is wanted"));
  EXPECT_THAT(wrong_value("0x1F mm", l), HasSubstr("is not a unit"));
  EXPECT_THAT(wrong_value("5. mm", l), HasSubstr("is not a unit"));
  EXPECT_THAT(wrong_value("1e999 mm", l), HasSubstr("1e999|"));
  EXPECT_THAT(wrong_value("1e308 km", l), HasSubstr("too large"));
  EXPECT_THAT(wrong_value("27.98 mm extra", l),
              HasSubstr("mm extra|\"mm extra\" is not a unit of length|"));
}

TEST(ReadQuantity, RefusesNumbersThatHaveTwoReadings) {
  const Kind l = Kind::length;
  EXPECT_EQ(
      wrong_value("1,102 mm", l),
      "1,102|1,102 can be 1.102 or 1102: the decimal sign here is the point|write \"1.102\" or "
      "\"1102\", or declare \"decimal_sign: comma\" for the whole file");
  EXPECT_THAT(wrong_value("1,234,567 mm", l),
              HasSubstr("1,234,567|1,234,567 has two decimal signs|"));
  EXPECT_THAT(wrong_value("1.234,5 mm", l), HasSubstr("1.234,5|"));
  EXPECT_THAT(wrong_value("12 500 mm", l), HasSubstr("500 mm|"));
  EXPECT_EQ(wrong_value("1/2 in", l), "1/2|1/2 is a fraction|write a decimal number: \"0.5\"");
  EXPECT_EQ(wrong_value("1 1/2 in", l), "1/2|1/2 is a fraction|write a decimal number");
  EXPECT_THAT(wrong_value("27.98 mm, ", l), HasSubstr("one value is wanted"));
  EXPECT_THAT(wrong_value("27.98 ± 0.01 mm", l), HasSubstr("± 0.01 mm|"));
}

TEST(ReadQuantity, PointsAtTheRightBytes) {
  const std::string_view text = " 12 µm kPa";
  const auto read = read_quantity(text, Kind::length);
  ASSERT_FALSE(read);
  EXPECT_EQ(read.error().offset, 4U);
  EXPECT_EQ(read.error().length, std::string_view("µm kPa").size());
}

TEST(ReadMeasured, ReadsPlusMinusInOneUnitOrTwo) {
  for (const std::string_view text : {"0.058 ± 0.005 mm", "0.058 +/- 0.005 mm", "0.058+-0.005 mm",
                                      "0.058 mm ± 5 um", "0.058 mm ± 0.005 mm (k 2)"}) {
    const auto read = read_measured(text, Kind::length);
    ASSERT_TRUE(read) << wrong(text, read);
    EXPECT_DOUBLE_EQ(read->value.si, 58e-6) << text;
    ASSERT_TRUE(read->expanded_si);
    EXPECT_NEAR(*read->expanded_si, 5e-6, 1e-20) << text;
    EXPECT_EQ(read->coverage, 2);
  }
  EXPECT_FALSE(read_measured("27.98 mm", Kind::length)->expanded_si);
  EXPECT_FALSE(read_measured("1 ± 1 mm", Kind::length)->coverage_said);
  const auto k3 = read_measured("1 deg crank ± 0.5 deg crank (k=3)", Kind::crank_angle);
  ASSERT_TRUE(k3);
  EXPECT_EQ(k3->coverage, 3);
  EXPECT_TRUE(k3->coverage_said);
  EXPECT_TRUE(read_measured("1 ± 0.5 deg (crank) ( k = 1.5 )", Kind::crank_angle));
}

// Source: SI Brochure, 2.3.1: an interval of one degree Celsius equals one kelvin.
TEST(ReadMeasured, SpreadOfATemperatureIsADifference) {
  for (const std::string_view text : {"95 ± 2 degC", "95 degC ± 2 K", "95 degC ± 3.6 degF"}) {
    const auto read = read_measured(text, Kind::temperature);
    ASSERT_TRUE(read) << wrong(text, read);
    EXPECT_DOUBLE_EQ(read->value.si, 368.15);
    EXPECT_DOUBLE_EQ(read->expanded_si.value_or(0), 2);
  }
}

TEST(ReadMeasured, Refuses) {
  EXPECT_THAT(wrong_measured("27.98 ± -0.01 mm"),
              HasSubstr("-0.01|the part behind ± is negative|"));
  EXPECT_THAT(wrong_measured("27.98 ± −0.01 mm"), HasSubstr("write \"± 0.01 mm\""));
  EXPECT_THAT(wrong_measured("27.98 ± 0 mm"), HasSubstr("0|an uncertainty of zero"));
  EXPECT_EQ(wrong_measured("27.98 mm ± 0.01"), "0.01|0.01 has no unit|write \"27.98 ± 0.01 mm\"");
  EXPECT_EQ(wrong_measured("27.98 ± 0.01"),
            "27.98 ± 0.01|27.98 ± 0.01 has no unit|write \"27.98 ± 0.01 mm\"");
  EXPECT_THAT(wrong_measured("27.98 mm ± 1 %"), HasSubstr("%|% is a ratio; a length is wanted|"));
  EXPECT_THAT(wrong_measured("27.98 mm ±"), HasSubstr("a number is missing at the end"));
  EXPECT_THAT(wrong_measured("27.98 ± 0.01 mm (k 95)"), HasSubstr("lies between 1 and 14"));
  EXPECT_THAT(wrong_measured("27.98 ± 0.01 mm (k 2"), HasSubstr("(k 2|the parenthesis is not"));
  EXPECT_THAT(wrong_measured("27.98 ± 0.01 mm (k 2) x"), HasSubstr("x|\"x\" behind"));
  EXPECT_THAT(wrong_measured("27.98 mm (k 2)"), HasSubstr("needs a ±"));
  EXPECT_THAT(wrong_measured("27.96..27.98 mm"), HasSubstr("one value is wanted"));
}

TEST(ReadInterval, ReadsTheFormsPeopleWrite) {
  for (const std::string_view text :
       {"27.96..27.98 mm", "27.96 .. 27.98 mm", "27.96 to 27.98 mm", "27.96–27.98 mm",
        "27.96 mm..27.98 mm", "27.97 ± 0.01 mm", "27.97 mm ± 10 um", "27.97 +/- 0.01 mm"}) {
    EXPECT_EQ(again(text), "27.96..27.98 mm") << text;
  }
  for (const std::string_view text :
       {">= 140 kPa", "≥ 140 kPa", "at least 140 kPa", "At  Least 140 kPa", "min 140 kPa",
        "min. 140 kPa", ">=140kPa"}) {
    EXPECT_EQ(again(text), ">= 140 kPa") << text;
  }
  for (const std::string_view text :
       {"<= 0.110 mm", "≤ 0.110 mm", "at most 0.110 mm", "max. 0.110 mm", "maximum 0.110 mm"}) {
    EXPECT_EQ(again(text), "<= 0.110 mm") << text;
  }
  EXPECT_EQ(again("650 ± 25 1/min"), "625..675 1/min");
  EXPECT_EQ(again("625..675 rpm"), "625..675 1/min");
  EXPECT_EQ(again("95 ± 2 degC"), "93..97 degC");
  EXPECT_EQ(again("95 degC ± 3.6 degF"), "93.0..97.0 degC");
  EXPECT_EQ(again("-5..5 deg crank", Kind::crank_angle), "-5..5 deg crank");
  EXPECT_EQ(again(".3...5 mm"), "0.3..0.5 mm");
  EXPECT_EQ(again("27.98 mm ± 3 um"), "27.977..27.983 mm");
  EXPECT_EQ(again("9,5..10,5 N·m", Kind::torque, kComma), "9.5..10.5 N·m");
  EXPECT_EQ(again("5..5 mm"), "5..5 mm");
}

TEST(ReadInterval, PlusMinusGivesTheNumbersThatWouldHaveBeenTyped) {
  const auto a = read_interval("27.97 ± 0.01 mm", Kind::length);
  const auto b = read_interval("27.96..27.98 mm", Kind::length);
  ASSERT_TRUE(a && b);
  EXPECT_EQ(a->lower_si, b->lower_si);
  EXPECT_EQ(a->upper_si, b->upper_si);
}

TEST(ReadInterval, Refuses) {
  EXPECT_EQ(wrong_interval("27.98..27.96 mm"),
            "27.98..27.96 mm|the interval is reversed: 27.98 is more than 27.96|"
            "write \"27.96..27.98 mm\"");
  EXPECT_THAT(wrong_interval("0.5 in..13 mm"), HasSubstr("the ends have two units, in and mm|"));
  EXPECT_EQ(wrong_interval("< 0.11 mm"),
            "<|\"<\" leaves the end itself open: limits here include it|write \"at most 0.11 mm\"");
  EXPECT_THAT(wrong_interval("> 0.11 mm"), HasSubstr("write \"at least 0.11 mm\""));
  EXPECT_THAT(wrong_interval("below 0.11 mm"), HasSubstr("below|"));
  EXPECT_THAT(wrong_interval("above 0.11 mm"), HasSubstr("write \"at least 0.11 mm\""));
  EXPECT_EQ(wrong_interval("27.96..27.98"),
            "27.96..27.98|27.96..27.98 has no unit|write \"27.96..27.98 mm\"");
  EXPECT_THAT(wrong_interval("27.96 mm..27.98"), HasSubstr("write \"27.96..27.98 mm\""));
  EXPECT_THAT(wrong_interval("27.96-27.98 mm"),
              HasSubstr("-|a sign behind 27.96: it can be a minus or mean \"to\"|"
                        "for an interval write \"27.96..27.98 mm\""));
  EXPECT_THAT(wrong_interval("27.96 - 27.98 mm"),
              HasSubstr("-|a sign behind 27.96: it can be a minus or mean \"to\"|"
                        "for an interval write \"27.96..27.98 mm\""));
  EXPECT_THAT(wrong_interval("27.98 mm"),
              HasSubstr("27.98 mm is one value; an interval is wanted|"));
  EXPECT_THAT(wrong_interval("650 rpm", Kind::rotational_speed),
              HasSubstr("|write \"at least 650 rpm\", \"at most 650 rpm\", \"650 ± b 1/min\" or "
                        "\"a..b 1/min\""));
  EXPECT_THAT(wrong_interval(">= 27.96 mm <= 27.98 mm"), HasSubstr("one end is wanted here"));
  EXPECT_THAT(wrong_interval("27.96..27.98 mm x"), HasSubstr("is not a unit"));
  EXPECT_THAT(wrong_interval("27.96..27.98 mm 1"), HasSubstr("1|\"1\" behind"));
  EXPECT_THAT(wrong_interval("1 ± 5 K", Kind::temperature), HasSubstr("below absolute zero"));
  EXPECT_THAT(wrong_interval("27.97 ± -0.01 mm"), HasSubstr("negative"));
  EXPECT_THAT(wrong_interval(""), HasSubstr("empty"));
  EXPECT_THAT(wrong_interval("at least"), HasSubstr("a number is missing"));
}

TEST(ReadList, ReadsTheFormsPeopleWrite) {
  const std::string three = "27.957 mm; 27.958 mm; 27.956 mm; ";
  for (const std::string_view text :
       {"27.957 27.958 27.956 mm", "27.957, 27.958, 27.956 mm", "27.957; 27.958; 27.956 mm",
        "27.957 mm 27.958 mm 27.956 mm", "27.957 mm, 27.958 mm; 27.956 mm"}) {
    EXPECT_EQ(list_again(text), three) << text;
  }
  EXPECT_EQ(list_again("27.957 mm; 1.1007 in"), "27.957 mm; 1.1007 in; ");
  EXPECT_EQ(list_again("27,957, 28,1 mm", kComma), "27.957 mm; 28.1 mm; ");
  EXPECT_EQ(list_again("27,957; 28 mm", kComma), "27.957 mm; 28 mm; ");
  EXPECT_EQ(list_again("5 mm"), "5 mm; ");
  EXPECT_EQ(list_again("0.02 -0.01 mm"), "0.02 mm; -0.01 mm; ");
  EXPECT_EQ(read_list("650 655 660 1/min", {})->values.size(), 3U);
  EXPECT_EQ(read_list("650 1/min 655 1/min", {})->values.size(), 2U);
}

TEST(ReadList, Refuses) {
  EXPECT_THAT(wrong_list("27,957, 28.1 mm"), HasSubstr("27,957|27,957 can be 27.957 or 27957"));
  EXPECT_EQ(wrong_list("27.957 27.958"), "27.958|27.958 has no unit|write \"27.958 mm\"");
  EXPECT_THAT(wrong_list("27.957 mm 27.958"), HasSubstr("27.958|"));
  EXPECT_THAT(wrong_list("27.957 27.958 mm 27.956 mm"), HasSubstr("27.957|27.957 has no unit"));
  EXPECT_THAT(wrong_list("27.957, mm"), HasSubstr("a number is wanted"));
  EXPECT_THAT(wrong_list("27.957 mm;"), HasSubstr("a number is missing at the end"));
  EXPECT_THAT(wrong_list("5 mm,6 mm"), HasSubstr(",|a comma between values"));
  EXPECT_THAT(wrong_list("27.96-27.98 mm"), HasSubstr("a sign behind"));
  EXPECT_THAT(wrong_list("27.957 mm ± 1 um"), HasSubstr("a list holds values only"));
  EXPECT_THAT(wrong_list("5 mm 3 kPa"), HasSubstr("kPa is a pressure; a length is wanted"));
  const std::string_view mixed = "5 degC 3 K 1 kPa";
  EXPECT_THAT(wrong(mixed, read_list(mixed, {})), HasSubstr("a temperature is wanted"));
}

TEST(ReadNumber, ReadsPlainNumbers) {
  EXPECT_EQ(read_number(" -0.5 "), -0.5);
  EXPECT_EQ(read_number("0,5", kComma), 0.5);
  EXPECT_EQ(read_integer("+12"), 12);
  EXPECT_EQ(read_integer("-12 "), -12);
  for (const std::string_view text :
       {"", "5 mm", "0,5", "5 6", "1/2", "inf", "0x10", "1e", "--5"}) {
    EXPECT_FALSE(read_number(text)) << text;
  }
  for (const std::string_view text :
       {"", "+", "5.0", "1,000", "1e3", "99999999999999999999", "+-5", "5 6", "0x10"}) {
    EXPECT_FALSE(read_integer(text)) << text;
  }
}

}  // namespace
}  // namespace tautmark
