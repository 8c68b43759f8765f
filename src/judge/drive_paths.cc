// SPDX-License-Identifier: Apache-2.0
#include "judge/drive_paths.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <numbers>

#include "base/text.h"
#include "drive/places.h"
#include "geometry/phase.h"

namespace tautmark {
namespace {

bool is_same(std::string_view a, std::string_view b) { return same_place(a, b); }

// Clock angles run clockwise from straight up, directions counterclockwise from +x.
Angle direction_of_clock(Angle clock) { return deg(90) - clock; }

const Idler* idler_named(const Drive& drive, std::string_view name) {
  for (const Idler& idler : drive.idlers)
    if (is_same(idler.name, name)) return &idler;
  return nullptr;
}

// Does the shaft turn clockwise, with every pair of gears between it and the crank?
bool shaft_runs_clockwise(const Drive& drive, std::string_view shaft, bool crank_clockwise) {
  bool clockwise = crank_clockwise;
  std::string name(shaft);
  for (int step = 0; step < 8 && !is_same(name, kCrank); ++step) {
    const auto gear = std::find_if(drive.gears.begin(), drive.gears.end(),
                                   [&](const GearPair& g) { return is_same(g.driven, name); });
    if (gear != drive.gears.end()) {
      clockwise = !clockwise;
      name = gear->driver;
      continue;
    }
    const Idler* idler = idler_named(drive, name);
    if (idler == nullptr) break;
    const auto chain = std::find_if(drive.chains.begin(), drive.chains.end(), [&](const Chain& c) {
      return is_same(c.name, idler->driven_by);
    });
    if (chain == drive.chains.end()) break;
    name = driver_of(drive, *chain);
  }
  return clockwise;
}

ElementKind element_kind(PathKind kind) {
  switch (kind) {
    case PathKind::sprocket:
      break;
    case PathKind::pulley:
      return ElementKind::pulley;
    case PathKind::guide:
      return ElementKind::guide;
    case PathKind::arm:
      return ElementKind::arm;
  }
  return ElementKind::sprocket;
}

Length groove_of(const ChainWear& wear, std::string_view name) {
  for (const auto& [guide, depth] : wear.grooves)
    if (folded(guide) == folded(name)) return depth;
  return {};
}

Result<PathElement> element_of(const Drive& drive, const Chain& chain, const PathPart& part,
                               const ChainWear& wear) {
  PathElement element;
  element.name = part.name;
  element.kind = element_kind(part.kind);
  element.center = {part.x.value, part.y.value};
  element.outside = part.runs == RunsOn::outside;
  if (element.kind == ElementKind::sprocket) {
    const auto teeth = part.teeth ? part.teeth : teeth_under(drive, chain, part.name);
    if (!teeth)
      return refuse(
          fmt::format("{}: the teeth of {} under it are not in the drive", chain.name, part.name));
    element.teeth = *teeth;
    return element;
  }
  if (!part.radius) return refuse(fmt::format("{}: {} has no radius", chain.name, part.name));
  element.radius = part.radius->value;
  element.wear = groove_of(wear, part.name);
  return element;
}

// The driving mark as mark_angle wants it: within the turn that begins where the chain arrives,
// with half a tooth of play for a mark that stands right there.
Angle on_the_chain(const PathInputs& in, const Path& path, Angle mark) {
  const double turn = 2 * std::numbers::pi;
  const double play = std::numbers::pi / in.elements.front().teeth;
  const double first = sprocket_phases(in, path).front().clock.si() - play;
  const double past = std::fmod(mark.si() - first, turn);
  return Angle::from_si(first + (past < 0 ? past + turn : past));
}

}  // namespace

std::optional<bool> crank_runs_clockwise(const Drive& drive) {
  if (!drive.crankshaft || !drive.crankshaft->rotation || !drive.crankshaft->seen_from)
    return std::nullopt;
  const bool clockwise = *drive.crankshaft->rotation == Rotation::clockwise;
  return *drive.crankshaft->seen_from == ViewedFrom::front ? clockwise : !clockwise;
}

std::string driver_of(const Drive& drive, const Chain& chain) {
  for (const Idler& idler : drive.idlers)
    if (is_same(idler.drives, chain.name)) return idler.name;
  return std::string(kCrank);
}

std::optional<int> teeth_under(const Drive& drive, const Chain& chain, std::string_view place) {
  for (const PathPart& part : chain.path)
    if (part.teeth && is_same(part.name, place)) return part.teeth;
  for (const Idler& idler : drive.idlers) {
    if (!is_same(idler.name, place)) continue;
    if (is_same(idler.driven_by, chain.name)) return idler.teeth_in;
    if (is_same(idler.drives, chain.name)) return idler.teeth_out;
  }
  if (is_same(place, kCrank)) {
    const CrankSprocket* sprocket = crank_sprocket_of(drive, chain);
    return sprocket != nullptr ? std::optional(sprocket->teeth) : std::nullopt;
  }
  for (const Bank& bank : drive.banks)
    for (const Camshaft& camshaft : bank.camshafts)
      if (is_same(fmt::format("bank {} / {}", bank.number, camshaft.name), place))
        return camshaft.sprocket_teeth;
  return std::nullopt;
}

std::vector<std::string> wheels_of(const Drive& drive, const Chain& chain) {
  std::vector<std::string> wheels;
  for (const PathPart& part : chain.path)
    if (part.kind == PathKind::sprocket) wheels.push_back(part.name);
  const std::string driver = driver_of(drive, chain);
  if (wheels.empty())
    for (const Strand& strand : chain.strands) wheels.push_back(strand.from);
  if (wheels.empty()) {
    wheels.push_back(driver);
    for (const Idler& idler : drive.idlers)
      if (is_same(idler.driven_by, chain.name)) wheels.push_back(idler.name);
    for (const Bank& bank : drive.banks)
      for (const Camshaft& camshaft : bank.camshafts) {
        std::string place = fmt::format("bank {} / {}", bank.number, camshaft.name);
        const bool by_gear =
            std::any_of(drive.gears.begin(), drive.gears.end(),
                        [&](const GearPair& g) { return is_same(g.driven, place); });
        if (chain_of(drive, bank, camshaft) == &chain && !by_gear &&
            idler_named(drive, place) == nullptr)
          wheels.push_back(std::move(place));
      }
  }
  const auto first = std::find_if(wheels.begin(), wheels.end(),
                                  [&](const std::string& name) { return is_same(name, driver); });
  if (first != wheels.end()) std::rotate(wheels.begin(), first, wheels.end());
  return wheels;
}

const ChainMark* mark_at(const Chain& chain, std::string_view place) {
  for (const ChainMark& mark : chain.marks)
    if (is_same(mark.at, place)) return &mark;
  return nullptr;
}

bool in_gap(const ChainMark& mark) {
  if (mark.on) return *mark.on == MarkOn::gap;
  return mark.links.value_or(1) % 2 == 0;
}

std::optional<double> pitches_between(const Chain& chain, std::string_view from,
                                      std::string_view to) {
  if (chain.strands.empty()) return std::nullopt;
  double sum = 0;
  std::string here(from);
  for (std::size_t step = 0; step <= chain.strands.size(); ++step) {
    if (step > 0 && is_same(here, to)) {
      const ChainMark* a = mark_at(chain, from);
      const ChainMark* b = mark_at(chain, to);
      return sum + (a != nullptr && in_gap(*a) ? 0.5 : 0) - (b != nullptr && in_gap(*b) ? 0.5 : 0);
    }
    const auto strand =
        std::find_if(chain.strands.begin(), chain.strands.end(),
                     [&](const Strand& candidate) { return is_same(candidate.from, here); });
    if (strand == chain.strands.end()) return std::nullopt;
    sum += as_pitches(strand->links, chain.counted.value_or(LinkCounting::pitches));
    here = strand->to;
  }
  return std::nullopt;
}

Result<PathInputs> path_inputs(const Drive& drive, const Chain& chain, const ChainWear& wear) {
  if (chain.path.empty()) return refuse(fmt::format("{}: no path with coordinates", chain.name));
  if (!chain.pitch) return refuse(fmt::format("{}: no pitch", chain.name));
  if (!chain.links) return refuse(fmt::format("{}: no number of links", chain.name));
  const auto clockwise = crank_runs_clockwise(drive);
  if (!clockwise)
    return refuse(
        "the running direction of the crankshaft, and from which end, is not in the drive");
  PathInputs in;
  in.pitch = chain.pitch->value;
  in.links = *chain.links;
  in.elongation = wear.elongation;
  in.belt = chain.type == ChainType::toothed_belt;
  in.turn = shaft_runs_clockwise(drive, driver_of(drive, chain), *clockwise) ? -1 : 1;
  for (const PathPart& part : chain.path) {
    auto element = element_of(drive, chain, part, wear);
    if (!element) return tl::make_unexpected(element.error());
    in.elements.push_back(std::move(*element));
    if (part.kind != PathKind::arm) continue;
    if (!part.pivot_x || !part.pivot_y)
      return refuse(fmt::format("{}: {} has no pivot", chain.name, part.name));
    if (in.pivot) return refuse(fmt::format("{}: more than one arm", chain.name));
    in.pivot = Point{part.pivot_x->value, part.pivot_y->value};
  }
  const auto driver = std::find_if(
      in.elements.begin(), in.elements.end(),
      [&](const PathElement& element) { return is_same(element.name, driver_of(drive, chain)); });
  if (driver == in.elements.end())
    return refuse(fmt::format("{}: its path does not hold {}, which drives it", chain.name,
                              driver_of(drive, chain)));
  std::rotate(in.elements.begin(), driver, in.elements.end());
  if (chain.tensioner && chain.tensioner->plunger && in.pivot) {
    const PlungerAt& at = *chain.tensioner->plunger;
    in.plunger = Plunger{.base = {at.base_x.value, at.base_y.value},
                         .axis = direction_of_clock(at.points.value),
                         .pad = {at.pad_x.value, at.pad_y.value},
                         .pad_radius = at.pad_radius.value};
  }
  return in;
}

std::vector<std::optional<Angle>> mark_clocks(const Drive& drive, const Chain& chain,
                                              const PathInputs& in, const Path& path) {
  const std::vector<std::string> wheels = wheels_of(drive, chain);
  std::vector<std::optional<Angle>> clocks(wheels.size());
  const auto said = [&](std::string_view place) -> std::optional<Angle> {
    const ChainMark* mark = mark_at(chain, place);
    return mark != nullptr && mark->clock ? std::optional(mark->clock->value) : std::nullopt;
  };
  if (wheels.empty()) return clocks;
  clocks[0] = said(wheels[0]);
  if (!clocks[0] && is_same(wheels[0], kCrank) && drive.crankshaft && drive.crankshaft->key)
    clocks[0] = drive.crankshaft->key->value;
  for (std::size_t i = 1; i < wheels.size(); ++i) {
    clocks[i] = said(wheels[i]);
    const auto element =
        std::find_if(in.elements.begin(), in.elements.end(),
                     [&](const PathElement& e) { return is_same(e.name, wheels[i]); });
    const auto links = pitches_between(chain, wheels[i], wheels[0]);
    if (element == in.elements.end() || !links || !clocks[0]) continue;
    // Own running direction against the clock: a wheel that turns counterclockwise counts the
    // other way round.
    const bool driver_clockwise = in.turn < 0;
    const bool own_clockwise = element->outside ? !driver_clockwise : driver_clockwise;
    const Angle driving = on_the_chain(in, path, driver_clockwise ? *clocks[0] : -*clocks[0]);
    const Angle own = mark_angle(in, path, static_cast<std::size_t>(element - in.elements.begin()),
                                 driving, *links);
    clocks[i] = own_clockwise ? own : -own;
  }
  for (auto& clock : clocks)
    if (clock) {
      const double turn = 2 * std::numbers::pi;
      clock = Angle::from_si(std::fmod(std::fmod(clock->si(), turn) + turn, turn));
    }
  return clocks;
}

}  // namespace tautmark
