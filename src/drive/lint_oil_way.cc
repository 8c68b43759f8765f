// SPDX-License-Identifier: Apache-2.0
#include "drive/lint_oil_way.h"

#include <fmt/format.h>

#include <algorithm>
#include <vector>

#include "base/text.h"
#include "drive/drive_fields.h"

namespace tautmark {
namespace {

using Kind = OilElementKind;

std::string_view kind_name_of(Kind kind) {
  return ChoiceNames<OilElementKind>::names[static_cast<std::size_t>(kind)];
}

// A size, and which kinds of way have it.
struct Size {
  std::string_view key;
  bool (*is_given)(const OilElement&) = nullptr;
  std::vector<Kind> used_by;
};
template <auto member>
bool is_given(const OilElement& way) {
  return (way.*member).has_value();
}

const std::vector<Size>& sizes() {
  static const std::vector<Size> kSizes = {
      {"count",
       is_given<&OilElement::count>,
       {Kind::relief, Kind::hole, Kind::check_valve, Kind::clearance, Kind::bearing, Kind::slot,
        Kind::screen}},
      {"journal", is_given<&OilElement::journal>, {Kind::clearance, Kind::bearing, Kind::slot}},
      {"diameter",
       is_given<&OilElement::diameter>,
       {Kind::hole, Kind::check_valve, Kind::clearance, Kind::bearing}},
      {"clearance", is_given<&OilElement::clearance>, {Kind::clearance, Kind::bearing, Kind::slot}},
      {"land", is_given<&OilElement::land>, {Kind::clearance, Kind::bearing, Kind::slot}},
      {"lands", is_given<&OilElement::lands>, {Kind::clearance, Kind::slot}},
      {"width", is_given<&OilElement::width>, {Kind::slot}},
      {"feed_hole", is_given<&OilElement::feed_hole>, {Kind::bearing}},
      {"eccentricity", is_given<&OilElement::eccentricity>, {Kind::clearance, Kind::bearing}},
      {"film", is_given<&OilElement::film>, {Kind::clearance, Kind::bearing, Kind::slot}},
      {"coefficient", is_given<&OilElement::coefficient>, {Kind::hole, Kind::check_valve}},
      {"blocked", is_given<&OilElement::blocked>, {Kind::hole, Kind::check_valve, Kind::screen}},
      {"opens", is_given<&OilElement::opens>, {Kind::relief, Kind::check_valve}},
      {"flow", is_given<&OilElement::flow>, {Kind::relief, Kind::screen}},
      {"full_at", is_given<&OilElement::full_at>, {Kind::relief, Kind::screen}},
      {"viscosity", is_given<&OilElement::viscosity>, {Kind::screen}},
      {"per_turn", is_given<&OilElement::per_turn>, {Kind::pump}},
      {"slip", is_given<&OilElement::slip>, {Kind::pump}},
  };
  return kSizes;
}

void check_unused(LintReport& report, const OilElement& way, const std::string& path) {
  for (const Size& size : sizes()) {
    if (!size.is_given(way) || std::ranges::find(size.used_by, way.kind) != size.used_by.end())
      continue;
    report.warning(fmt::format("{}.{}", path, size.key),
                   fmt::format("{}: a {} has no {}; it changes nothing", way.name,
                               kind_name_of(way.kind), size.key));
  }
}

void check_needs(LintReport& report, const OilElement& way, const std::string& path) {
  const auto needs = [&](bool is_given, std::string_view key, std::string_view example) {
    if (!is_given)
      report.error(path,
                   fmt::format("{}: a {} needs its {}", way.name, kind_name_of(way.kind), key),
                   fmt::format("{}: {}", key, example));
  };
  switch (way.kind) {
    case Kind::pump:
      needs(way.per_turn.has_value(), "per_turn", "22 cm³");
      return;
    case Kind::relief:
      needs(way.opens.has_value(), "opens", "400 kPa");
      needs(way.flow.has_value(), "flow", "12 L/min");
      needs(way.full_at.has_value(), "full_at", "500 kPa");
      return;
    case Kind::check_valve:
      needs(way.opens.has_value(), "opens", "30 kPa");
      [[fallthrough]];
    case Kind::hole:
      needs(way.diameter.has_value(), "diameter", "1.5 mm");
      return;
    case Kind::bearing:
      needs(way.feed_hole.has_value(), "feed_hole", "4 mm");
      [[fallthrough]];
    case Kind::clearance:
      needs(way.diameter.has_value(), "diameter", "28 mm");
      needs(way.land.has_value(), "land", "9 mm");
      needs(way.clearance || way.journal, "clearance", "0.060 mm");
      return;
    case Kind::slot:
      needs(way.width.has_value(), "width", "12 mm");
      needs(way.land.has_value(), "land", "4 mm");
      needs(way.clearance.has_value(), "clearance", "0.030 mm");
      return;
    case Kind::screen:
      needs(way.flow.has_value(), "flow", "20 L/min");
      needs(way.full_at.has_value(), "full_at", "30 kPa");
      needs(way.viscosity.has_value(), "viscosity", "20 mPa·s");
      return;
  }
}

// The bank that a place begins with: "bank 2 / head port", "bank 2 deck".
std::optional<int> bank_of(std::string_view place) {
  const std::string name = folded(place);
  constexpr std::string_view kBank = "bank ";
  if (!name.starts_with(kBank) || name.size() == kBank.size()) return std::nullopt;
  const char digit = name[kBank.size()];
  const bool is_one = name.size() == kBank.size() + 1 || name[kBank.size() + 1] < '0' ||
                      name[kBank.size() + 1] > '9';
  if (digit < '1' || digit > '8' || !is_one) return std::nullopt;
  return digit - '0';
}

void check_ends(LintReport& report, const OilElement& way, const std::string& path) {
  if (way.from && way.to && folded(*way.from) == folded(*way.to))
    report.error(path + ".to", fmt::format("{} begins and ends at {}", way.name, *way.to));
  if (!way.from && !way.to)
    report.error(path, fmt::format("{} begins and ends in the sump", way.name),
                 "from: main gallery");
  if (way.kind == Kind::pump && way.from)
    report.error(path + ".from", "a pump draws from the sump", "leave from out");
  if (way.kind == Kind::pump && way.to && bank_of(*way.to))
    report.warning(path + ".to",
                   fmt::format("{} pumps into {}: a pump feeds the gallery of the engine, which "
                               "feeds its heads",
                               way.name, *way.to));
  if (way.kind == Kind::relief && !way.from && way.to)
    report.error(
        path + ".to",
        fmt::format("{} leads from the sump to {}: a relief valve lets oil out", way.name, *way.to),
        fmt::format("from: {}, and leave to out", *way.to));
  const auto of_journal = way.journal ? bank_of(*way.journal) : std::nullopt;
  for (const auto& [end, key] : {std::pair{way.from, "from"}, std::pair{way.to, "to"}}) {
    const auto bank = end ? bank_of(*end) : std::nullopt;
    if (bank && of_journal && *bank != *of_journal)
      report.error(path + ".journal",
                   fmt::format("{} is at {}, and {} is a journal of another bank", way.name, *end,
                               *way.journal),
                   fmt::format("a journal of bank {}", *bank));
  }
}

// Sizes that are possible each for itself, and not together.
void check_together(LintReport& report, const OilElement& way, const std::string& path) {
  if (way.kind == Kind::relief && way.opens && way.full_at &&
      way.full_at->value <= way.opens->value)
    report.error(path + ".full_at",
                 fmt::format("{} passes its flow at {}, which is not above {}, where it opens",
                             way.name, way.full_at->text, way.opens->text));
  if ((way.kind == Kind::clearance || way.kind == Kind::bearing) && way.clearance && way.diameter &&
      way.clearance->value.si() > way.diameter->value.si() / 4)
    report.error(path + ".clearance",
                 fmt::format("{}: {} of clearance round {} is no gap but a pipe", way.name,
                             way.clearance->text, way.diameter->text));
  if (way.kind == Kind::bearing && way.land && way.feed_hole &&
      way.feed_hole->value.si() > way.land->value.si() / 2)
    report.error(path + ".feed_hole",
                 fmt::format("{}: a hole of {} is more than half of the bearing's {}", way.name,
                             way.feed_hole->text, way.land->text),
                 "kind: clearance, with two lands, for a groove");
}

}  // namespace

void check_oil_way(LintReport& report, const OilElement& way, const std::string& path) {
  check_needs(report, way, path);
  check_unused(report, way, path);
  check_ends(report, way, path);
  check_together(report, way, path);
}

}  // namespace tautmark
