// SPDX-License-Identifier: Apache-2.0
#include "base/unit.h"

#include <algorithm>
#include <array>
#include <cstddef>
#include <deque>
#include <map>
#include <utility>
#include <vector>

#include "base/text.h"

namespace tautmark {
namespace {

// Exact by definition: NIST SP 811:2008, Appendix B.8 (inch, avoirdupois pound, standard gravity).
constexpr double kInch = 0.0254;
constexpr double kFoot = 12 * kInch;
constexpr double kKgf = 9.80665;
constexpr double kLbf = 0.45359237 * kKgf;
constexpr double kLbfFoot = kLbf * kFoot;
constexpr double kLbfInch = kLbf * kInch;
constexpr double kOzfInch = kLbf / 16 * kInch;
constexpr double kPsi = kLbf / (kInch * kInch);
constexpr double kKgfPerCm2 = kKgf / 1e-4;

// Letter case is free where no other unit can be meant; SI prefixes need it (m and M differ by
// 1e9).
enum class Case : bool { strict, any };

struct Row {
  Kind kind{};
  std::string_view symbol;
  double factor = 1;
  double offset = 0;
  Case letter_case = Case::strict;
  // Separated by '|'; blanks, dots and hyphens are folded, see unit_key.
  std::string_view spellings;
};

// The rows of a kind stand together; the first is the unit shown when nobody typed another.
constexpr Row kRows[] = {
    {Kind::length, "mm", 1e-3, 0, Case::strict, "millimeter|millimeters|millimetre|millimetres"},
    {Kind::length, "um", 1e-6, 0, Case::strict, "µm|micrometer|micrometers|micron|microns"},
    {Kind::length, "cm", 1e-2, 0, Case::strict, "centimeter|centimeters|centimetre|centimetres"},
    {Kind::length, "m", 1, 0, Case::strict, "meter|meters|metre|metres"},
    {Kind::length, "km", 1e3, 0, Case::strict, "kilometer|kilometers|kilometre|kilometres"},
    {Kind::length, "in", kInch, 0, Case::any, "\"|inch|inches"},
    {Kind::length, "thou", kInch / 1000, 0, Case::any, "thous"},
    {Kind::length, "ft", kFoot, 0, Case::any, "foot|feet"},
    {Kind::length, "mi", 5280 * kFoot, 0, Case::any, "mile|miles"},

    {Kind::crank_angle, "deg crank", kRadiansPerDegree, 0, Case::any,
     "deg (crank)|degcrank|crank deg|crankdeg|degrees crank|degree crank|crank degrees|"
     "crank degree|deg crankshaft|degrees crankshaft|crankshaft deg|crankshaft degrees|deg KW|"
     "degKW"},
    {Kind::crank_angle, "rad crank", 1, 0, Case::any, "rad (crank)|crank rad"},

    {Kind::cam_angle, "deg cam", kRadiansPerDegree, 0, Case::any,
     "deg (cam)|degcam|cam deg|camdeg|degrees cam|degree cam|cam degrees|cam degree|"
     "deg camshaft|degrees camshaft|camshaft deg|camshaft degrees|deg NW|degNW"},
    {Kind::cam_angle, "rad cam", 1, 0, Case::any, "rad (cam)|cam rad"},

    {Kind::angle, "deg", kRadiansPerDegree, 0, Case::any, "degree|degrees"},
    {Kind::angle, "rad", 1, 0, Case::strict, "radian|radians"},

    {Kind::temperature, "degC", 1, 273.15, Case::any, "C|deg C|degrees C|celsius"},
    {Kind::temperature, "degF", 5.0 / 9.0, 459.67, Case::any, "F|deg F|degrees F|fahrenheit"},
    {Kind::temperature, "K", 1, 0, Case::strict, "kelvin"},

    {Kind::temperature_difference, "K", 1, 0, Case::strict, "kelvin"},
    {Kind::temperature_difference, "degC", 1, 0, Case::any, "C|deg C|degrees C|celsius"},
    {Kind::temperature_difference, "degF", 5.0 / 9.0, 0, Case::any, "F|deg F|degrees F|fahrenheit"},

    {Kind::pressure, "kPa", 1e3, 0, Case::strict, "kilopascal|kilopascals|KPa|kpa"},
    {Kind::pressure, "Pa", 1, 0, Case::strict, "pascal|pascals"},
    {Kind::pressure, "hPa", 1e2, 0, Case::strict, "hectopascal"},
    {Kind::pressure, "MPa", 1e6, 0, Case::strict, "megapascal|N/mm2"},
    {Kind::pressure, "bar", 1e5, 0, Case::any, "bars"},
    {Kind::pressure, "mbar", 1e2, 0, Case::strict, "millibar"},
    {Kind::pressure, "psi", kPsi, 0, Case::any, "lbf/in2|lb/in2|lbs/in2|lbf/sq in|lb/sq in"},
    {Kind::pressure, "kgf/cm²", kKgfPerCm2, 0, Case::any, "kg/cm2|kp/cm2"},

    {Kind::torque, "N·m", 1, 0, Case::strict, "Nm|newton meter|newton meters|newton metre"},
    {Kind::torque, "cN·m", 1e-2, 0, Case::strict, "cNm|N·cm|Ncm"},
    {Kind::torque, "daN·m", 10, 0, Case::strict, "daNm"},
    {Kind::torque, "lbf·ft", kLbfFoot, 0, Case::any,
     "lb ft|lbs ft|ft lb|ft lbs|ft lbf|lbfft|lbft|lbsft|ftlb|ftlbs|ftlbf|foot pound|foot pounds|"
     "pound foot|pound feet"},
    {Kind::torque, "lbf·in", kLbfInch, 0, Case::any,
     "lb in|lbs in|in lb|in lbs|in lbf|lbfin|lbin|lbsin|inlb|inlbs|inlbf|inch pound|inch pounds|"
     "pound inch|pound inches"},
    {Kind::torque, "ozf·in", kOzfInch, 0, Case::any,
     "oz in|in oz|in ozf|ozfin|ozin|inoz|ounce inch|ounce inches|inch ounce|inch ounces"},
    {Kind::torque, "kgf·m", kKgf, 0, Case::strict,
     "kgfm|kg m|kgm|m kgf|m kg|mkgf|mkg|kp m|kpm|m kp|mkp"},
    {Kind::torque, "kgf·cm", kKgf / 100, 0, Case::strict,
     "kgfcm|kg cm|kgcm|cm kgf|cm kg|cmkg|kp cm|kpcm"},

    {Kind::force, "N", 1, 0, Case::strict, "newton|newtons"},
    {Kind::force, "daN", 10, 0, Case::strict, ""},
    {Kind::force, "kN", 1e3, 0, Case::strict, "kilonewton|kilonewtons"},
    {Kind::force, "lbf", kLbf, 0, Case::any, "pounds force|pound force"},
    {Kind::force, "kgf", kKgf, 0, Case::any, "kp"},

    {Kind::rotational_speed, "1/min", 1.0 / 60, 0, Case::any,
     "rpm|r/min|rev/min|U/min|min^-1|min-1|/min"},
    {Kind::rotational_speed, "1/s", 1, 0, Case::strict, "r/s|rev/s|s^-1|s-1|/s"},

    {Kind::time, "s", 1, 0, Case::strict, "sec|second|seconds"},
    {Kind::time, "ms", 1e-3, 0, Case::strict, "millisecond|milliseconds"},
    {Kind::time, "us", 1e-6, 0, Case::strict, "microsecond|microseconds"},
    {Kind::time, "min", 60, 0, Case::strict, "minute|minutes"},
    {Kind::time, "h", 3600, 0, Case::strict, "hr|hrs|hour|hours"},

    {Kind::volume, "L", 1e-3, 0, Case::any, "liter|liters|litre|litres|dm3"},
    {Kind::volume, "mL", 1e-6, 0, Case::strict, "ml|milliliter|milliliters|millilitre"},
    {Kind::volume, "m³", 1, 0, Case::strict, "cubic meter|cubic meters"},
    {Kind::volume, "mm³", 1e-9, 0, Case::strict, ""},
    {Kind::volume, "cm³", 1e-6, 0, Case::strict, "cc|ccm|CC"},

    {Kind::ratio, "%", 1e-2, 0, Case::any, "percent|pct"},
    {Kind::ratio, "mm/m", 1e-3, 0, Case::strict, "‰"},
    {Kind::ratio, "ppm", 1e-6, 0, Case::any, "um/m"},
    {Kind::ratio, ":1", 1, 0, Case::strict, ""},

    {Kind::expansion, "ppm/K", 1e-6, 0, Case::strict,
     "ppm/C|ppm/degC|um/(m K)|um/(mK)|um/m/K|um/m K|um/mK|um/(m degC)|um/m/degC"},
    {Kind::expansion, "ppm/degF", 1e-6 * 1.8, 0, Case::strict, "ppm/F|uin/(in degF)|uin/in/degF"},
    {Kind::expansion, "1/K", 1, 0, Case::strict, "K^-1|/K|1/degC"},

    {Kind::frequency, "Hz", 1, 0, Case::any, "hertz"},
    {Kind::frequency, "kHz", 1e3, 0, Case::strict, "kilohertz"},
    {Kind::frequency, "MHz", 1e6, 0, Case::strict, "megahertz"},

    {Kind::voltage, "V", 1, 0, Case::strict, "volt|volts"},
    {Kind::voltage, "mV", 1e-3, 0, Case::strict, "millivolt|millivolts"},

    {Kind::kinematic_viscosity, "mm²/s", 1e-6, 0, Case::any, "cSt|centistokes|mm^2/s"},
    {Kind::kinematic_viscosity, "m²/s", 1, 0, Case::strict, "m^2/s"},

    {Kind::dynamic_viscosity, "mPa·s", 1e-3, 0, Case::strict, "mPas|mPa*s|cP|centipoise"},
    {Kind::dynamic_viscosity, "Pa·s", 1, 0, Case::strict, "Pas|Pa*s"},

    {Kind::density, "kg/m³", 1, 0, Case::any, "kg/m^3|g/L|g/l"},
    {Kind::density, "g/cm³", 1e3, 0, Case::any, "g/mL|g/ml|kg/L|kg/l"},

    {Kind::flow, "L/min", 1e-3 / 60, 0, Case::any, "l/min|lpm|liters/min|litres/min"},
    {Kind::flow, "mL/s", 1e-6, 0, Case::strict, "cm³/s|cc/s"},
    {Kind::flow, "m³/s", 1, 0, Case::strict, "m^3/s"},
};

// What different keyboards make of the same sign. Longer sequences first.
constexpr std::pair<std::string_view, std::string_view> kSameSign[] = {
    {"⁻¹", "^-1"}, {"−", "-"},   {"µ", "u"},   {"μ", "u"},      {"·", "."},      {"⋅", "."},
    {"∙", "."},    {"•", "."},   {"*", "."},   {"²", "2"},      {"³", "3"},      {"^2", "2"},
    {"^3", "3"},   {"°", "deg"}, {"º", "deg"}, {"℃", "degC"},   {"℉", "degF"},   {"″", "\""},
    {"”", "\""},   {"’’", "\""}, {"''", "\""}, {"\u00A0", " "}, {"\u202F", " "}, {"\u2009", " "},
};

bool is_join(char c) { return c == ' ' || c == '.' || c == '-' || c == '\t' || c == '\n'; }

// One form for all spellings of a unit: signs unified, every run of blanks, dots and hyphens inside
// is one '.', none beside a '/' or a parenthesis; the dot of an abbreviation ("in.") goes. Two
// spellings with the same key are the same spelling.
std::string unit_key(std::string_view spelling) {
  std::string plain;
  for (std::string_view rest = trimmed(spelling); !rest.empty();) {
    const auto* same = std::find_if(std::begin(kSameSign), std::end(kSameSign),
                                    [&](const auto& s) { return rest.starts_with(s.first); });
    if (same != std::end(kSameSign)) {
      plain += same->second;
      rest.remove_prefix(same->first.size());
    } else {
      plain += rest.front();
      rest.remove_prefix(1);
    }
  }
  std::string key;
  for (const char c : plain) {
    const bool is_exponent_sign = c == '-' && key.ends_with('^');
    const char sign = is_join(c) && !is_exponent_sign ? '.' : c;
    if (sign == '.' && (key.ends_with('.') || key.ends_with('/') || key.ends_with('('))) continue;
    if ((sign == '/' || sign == ')') && key.ends_with('.')) key.pop_back();
    key += sign;
  }
  if (plain.ends_with('.') && !plain.ends_with("..")) key.pop_back();
  return key;
}

struct Table {
  std::array<std::vector<Unit>, kKindCount> by_kind;
  std::deque<std::vector<std::string_view>> spellings;
  std::map<std::string, std::vector<const Unit*>, std::less<>> exact;
  std::map<std::string, std::vector<const Unit*>, std::less<>> any_case;

  Table() {
    for (const Row& row : kRows) {
      auto& list = spellings.emplace_back();
      for (std::string_view rest = row.spellings; !rest.empty();) {
        const std::size_t end = std::min(rest.find('|'), rest.size());
        list.push_back(rest.substr(0, end));
        rest.remove_prefix(std::min(end + 1, rest.size()));
      }
      by_kind[static_cast<std::size_t>(row.kind)].push_back(
          {row.symbol, list, row.kind, row.factor, row.offset});
    }
    // Pointers into by_kind are taken only now that it no longer grows.
    std::array<std::size_t, kKindCount> seen{};
    for (const Row& row : kRows) {
      const auto kind = static_cast<std::size_t>(row.kind);
      const Unit& unit = by_kind[kind][seen[kind]++];
      add(unit.symbol, unit, row.letter_case);
      for (const std::string_view spelling : unit.spellings) add(spelling, unit, row.letter_case);
    }
  }

  void add(std::string_view spelling, const Unit& unit, Case letter_case) {
    // Written-out words cannot be mistaken for a prefix.
    constexpr std::size_t kWordLength = 5;
    const std::string key = unit_key(spelling);
    const bool is_word = key.size() >= kWordLength &&
                         std::all_of(key.begin(), key.end(),
                                     [](char c) { return (c >= 'a' && c <= 'z') || c == '.'; });
    put(exact[key], unit);
    if (letter_case == Case::any || is_word) put(any_case[lower_ascii(key)], unit);
  }

  static void put(std::vector<const Unit*>& units, const Unit& unit) {
    if (std::find(units.begin(), units.end(), &unit) == units.end()) units.push_back(&unit);
  }
};

const Table& table() {
  static const Table kTable;
  return kTable;
}

struct KindWords {
  std::string_view name;
  std::string_view si_symbol;
};

constexpr std::array<KindWords, kKindCount> kKindWords = {{
    {"length", "m"},
    {"crank angle", "rad (crank)"},
    {"cam angle", "rad (cam)"},
    {"angle", "rad"},
    {"temperature", "K"},
    {"temperature difference", "K"},
    {"pressure", "Pa"},
    {"torque", "N·m"},
    {"force", "N"},
    {"rotational speed", "1/s"},
    {"time", "s"},
    {"volume", "m³"},
    {"ratio", "1"},
    {"thermal expansion", "1/K"},
    {"frequency", "Hz"},
    {"voltage", "V"},
    {"kinematic viscosity", "m²/s"},
    {"dynamic viscosity", "Pa·s"},
    {"density", "kg/m³"},
    {"flow", "m³/s"},
}};

bool is_one_of(std::string_view key, std::initializer_list<std::string_view> keys) {
  return std::find(keys.begin(), keys.end(), key) != keys.end();
}

}  // namespace

std::string_view kind_name(Kind kind) { return kKindWords[static_cast<std::size_t>(kind)].name; }

std::string_view si_symbol(Kind kind) {
  return kKindWords[static_cast<std::size_t>(kind)].si_symbol;
}

std::span<const Unit> units_of(Kind kind) {
  return table().by_kind[static_cast<std::size_t>(kind)];
}

const Unit& default_unit(Kind kind) { return units_of(kind).front(); }

std::span<const Unit* const> units_spelled(std::string_view spelling) {
  const std::string key = unit_key(spelling);
  const Table& all = table();
  if (const auto found = all.exact.find(key); found != all.exact.end()) return found->second;
  const auto found = all.any_case.find(lower_ascii(key));
  if (found != all.any_case.end()) return found->second;
  return {};
}

const Unit* unit_written(std::string_view text, Kind kind) {
  const std::size_t at = text.find_first_not_of("0123456789.,+ ");
  if (at == std::string_view::npos) return nullptr;
  for (const Unit* unit : units_spelled(trimmed(text.substr(at))))
    if (unit->kind == kind) return unit;
  return nullptr;
}

std::string_view ask_back(std::string_view spelling, std::optional<Kind> wanted) {
  const std::string key = lower_ascii(unit_key(spelling));
  const auto may_be = [&](std::initializer_list<Kind> kinds) {
    return !wanted || std::find(kinds.begin(), kinds.end(), *wanted) != kinds.end();
  };
  const bool may_be_turn = may_be({Kind::crank_angle, Kind::cam_angle, Kind::angle});
  if (is_one_of(key, {"lb", "lbs", "pound", "pounds", "#"})) {
    if (wanted == Kind::force) return "lb can be a mass or a force: write lbf for the force";
    if (wanted == Kind::pressure)
      return "lb alone is no pressure: write psi for lb per square inch";
    if (may_be({Kind::torque}))
      return "lb alone can be lbf·in or lbf·ft, a factor of 12: say which";
  }
  if (is_one_of(key, {"kg", "kgs", "kilo", "kilos"})) {
    if (wanted == Kind::force) return "kg is a mass: write kgf for the force";
    if (wanted == Kind::pressure) return "kg alone is no pressure: write kgf/cm²";
    if (may_be({Kind::torque}))
      return "kg is a mass: write kgf·m or kgf·cm for a torque, kgf for a force";
  }
  if (is_one_of(key, {"mil", "mils"}) && may_be({Kind::length})) {
    return "mil can be a thousandth of an inch or a millimeter: write thou or mm";
  }
  if (is_one_of(key, {"tenth", "tenths"}) && may_be({Kind::length})) {
    return "tenths can be 0.0001 in or 0.1 mm: write the number in in or in mm";
  }
  if (is_one_of(key, {"tooth", "teeth"}) && may_be_turn) {
    return "a tooth is a different angle on every sprocket: write the angle in degrees";
  }
  if (is_one_of(key, {"degca", "deg.ca", "ca", "cad", "ca.deg"}) && may_be_turn) {
    return "CA can be crank angle or cam angle: write deg crank or deg cam";
  }
  const bool is_degree = is_one_of(key, {"deg", "degree", "degrees"});
  if (is_degree || is_one_of(key, {"rad", "radian", "radians"})) {
    if (wanted == Kind::crank_angle || wanted == Kind::cam_angle) {
      return "crank or cam degrees? one cam degree is two crank degrees";
    }
  }
  if (is_degree && (wanted == Kind::temperature || wanted == Kind::temperature_difference)) {
    return "degrees of which scale? write degC or degF";
  }
  return {};
}

double to_si(double number, const Unit& unit) { return (number + unit.offset) * unit.factor; }

double from_si(double si, const Unit& unit) { return si / unit.factor - unit.offset; }

}  // namespace tautmark
