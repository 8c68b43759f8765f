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

// A size, what kinds of way are nothing without, and what kinds may have it besides.
struct Size {
  std::string_view key, example;
  bool (*is_given)(const OilElement&) = nullptr;
  std::vector<Kind> needed_by, may_have;
};
template <auto member>
bool is_given(const OilElement& way) {
  return (way.*member).has_value();
}

const std::vector<Size>& sizes() {
  using E = OilElement;
  using enum OilElementKind;
  static const std::vector<Size> kSizes = {
      {"count",
       "5",
       is_given<&E::count>,
       {},
       {relief, hole, check_valve, clearance, bearing, slot, screen}},
      {"per_turn", "22 cm³", is_given<&E::per_turn>, {pump}, {}},
      {"slip", "0.005 mm³", is_given<&E::slip>, {}, {pump}},
      {"opens", "400 kPa", is_given<&E::opens>, {relief, check_valve}, {}},
      {"flow", "12 L/min", is_given<&E::flow>, {relief, screen}, {}},
      {"full_at", "500 kPa", is_given<&E::full_at>, {relief, screen}, {}},
      {"viscosity", "20 mPa·s", is_given<&E::viscosity>, {screen}, {}},
      {"diameter", "28 mm", is_given<&E::diameter>, {hole, check_valve, clearance, bearing}, {}},
      {"coefficient", "0.7 :1", is_given<&E::coefficient>, {}, {hole, check_valve}},
      {"blocked", "30 %", is_given<&E::blocked>, {}, {hole, check_valve, screen}},
      {"feed_hole", "4 mm", is_given<&E::feed_hole>, {bearing}, {}},
      {"width", "12 mm", is_given<&E::width>, {slot}, {}},
      {"land", "9 mm", is_given<&E::land>, {clearance, bearing, slot}, {}},
      {"lands", "2", is_given<&E::lands>, {}, {clearance, slot}},
      {"clearance", "0.060 mm", is_given<&E::clearance>, {clearance, bearing, slot}, {}},
      {"journal",
       "bank 1 / camshaft / journal 1",
       is_given<&E::journal>,
       {},
       {clearance, bearing, slot}},
      {"eccentricity", "0.7 :1", is_given<&E::eccentricity>, {}, {clearance, bearing}},
      {"film", "60 %", is_given<&E::film>, {}, {clearance, bearing, slot}},
  };
  return kSizes;
}

bool is_in(const std::vector<Kind>& kinds, Kind kind) {
  return std::ranges::find(kinds, kind) != kinds.end();
}

// The clearance of a journal may be measured instead of stated; the height of a slot may not.
bool is_told(const Size& size, const OilElement& way) {
  return size.is_given(way) || (size.key == "clearance" && way.journal && way.kind != Kind::slot);
}

void check_sizes(LintReport& report, const OilElement& way, const std::string& path) {
  for (const Size& size : sizes()) {
    const bool is_needed = is_in(size.needed_by, way.kind);
    if (is_needed && !is_told(size, way))
      report.error(path,
                   fmt::format("{}: a {} needs its {}", way.name, kind_name_of(way.kind), size.key),
                   fmt::format("{}: {}", size.key, size.example));
    else if (size.is_given(way) && !is_needed && !is_in(size.may_have, way.kind))
      report.warning(fmt::format("{}.{}", path, size.key),
                     fmt::format("{}: a {} has no {}; it changes nothing", way.name,
                                 kind_name_of(way.kind), size.key));
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

// Sizes that are possible each for itself, and not together (own judgement).
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
  check_sizes(report, way, path);
  check_ends(report, way, path);
  check_together(report, way, path);
}

}  // namespace tautmark
