// SPDX-License-Identifier: Apache-2.0
// How often the shafts of a drive turn, when their marks return, and which chains lead to which
// camshaft.
#include <fmt/format.h>

#include <algorithm>
#include <numeric>

#include "drive/places.h"
#include "judge/drive_paths.h"

namespace tautmark {
namespace {

bool is_same(std::string_view a, std::string_view b) { return same_place(a, b); }

const Idler* idler_named(const Drive& drive, std::string_view name) {
  for (const Idler& idler : drive.idlers)
    if (is_same(idler.name, name)) return &idler;
  return nullptr;
}

constexpr int kDeepest = 8;  // stages; a drive that goes in a circle ends there

std::optional<Fraction> turns_of(const Drive& drive, std::string_view shaft, int depth) {
  if (is_same(shaft, kCrank)) return Fraction{1, 1};
  if (depth > kDeepest) return std::nullopt;
  const auto through = [&](std::string_view driver, int from, int to) -> std::optional<Fraction> {
    const auto turns = turns_of(drive, driver, depth + 1);
    if (!turns || from <= 0 || to <= 0) return std::nullopt;
    return lowest_terms({turns->over * from, turns->under * to});
  };
  for (const GearPair& gear : drive.gears)
    if (is_same(gear.driven, shaft))
      return through(gear.driver, gear.driver_teeth, gear.driven_teeth);
  for (const Chain& chain : drive.chains) {
    const auto wheels = wheels_of(drive, chain);
    for (std::size_t i = 1; i < wheels.size(); ++i) {
      if (!is_same(wheels[i], shaft)) continue;
      const auto from = teeth_under(drive, chain, wheels[0]);
      const auto to = teeth_under(drive, chain, wheels[i]);
      if (from && to) return through(wheels[0], *from, *to);
    }
  }
  return std::nullopt;
}

}  // namespace

std::optional<Fraction> shaft_turns(const Drive& drive, std::string_view shaft) {
  return turns_of(drive, shaft, 0);
}

std::optional<long long> turns_together(const Drive& drive, std::string_view a,
                                        std::string_view b) {
  const auto period = [&](std::string_view shaft) -> std::optional<long long> {
    if (const auto turns = shaft_turns(drive, shaft)) return turns->under;
    for (const Bank& bank : drive.banks)
      for (const Camshaft& camshaft : bank.camshafts)
        if (is_same(fmt::format("bank {} / {}", bank.number, camshaft.name), shaft)) return 2;
    return std::nullopt;
  };
  const auto first = period(a), second = period(b);
  if (!first || !second) return std::nullopt;
  return std::lcm(*first, *second);
}

namespace {

// The chains between a camshaft and the crankshaft; nothing where they cannot be traced.
std::optional<std::vector<const Chain*>> chains_to_crank(const Drive& drive, const Bank& bank,
                                                         const Camshaft& camshaft) {
  std::vector<const Chain*> chains;
  std::string shaft = fmt::format("bank {} / {}", bank.number, camshaft.name);
  for (int step = 0; step < kDeepest; ++step) {
    if (is_same(shaft, kCrank)) return chains;
    const auto gear = std::find_if(drive.gears.begin(), drive.gears.end(),
                                   [&](const GearPair& g) { return is_same(g.driven, shaft); });
    if (gear != drive.gears.end()) {
      shaft = gear->driver;
      continue;
    }
    const Chain* chain = nullptr;
    if (const Idler* idler = idler_named(drive, shaft)) {
      for (const Chain& one : drive.chains)
        if (is_same(one.name, idler->driven_by)) chain = &one;
    } else {
      for (const Bank& of : drive.banks)
        for (const Camshaft& one : of.camshafts)
          if (is_same(fmt::format("bank {} / {}", of.number, one.name), shaft))
            chain = chain_of(drive, of, one);
    }
    if (chain == nullptr) return std::nullopt;
    chains.push_back(chain);
    shaft = driver_of(drive, *chain);
  }
  return std::nullopt;
}

}  // namespace

bool drives_a_camshaft(const Drive& drive, const Chain& chain) {
  bool any = false;
  for (const Bank& bank : drive.banks)
    for (const Camshaft& camshaft : bank.camshafts) {
      any = true;
      const auto route = chains_to_crank(drive, bank, camshaft);
      if (!route || std::find(route->begin(), route->end(), &chain) != route->end()) return true;
      const auto wheels = wheels_of(drive, chain);
      const std::string place = fmt::format("bank {} / {}", bank.number, camshaft.name);
      if (std::any_of(wheels.begin(), wheels.end(),
                      [&](const std::string& wheel) { return is_same(wheel, place); }))
        return true;
    }
  return !any;
}

std::optional<DriveReturns> returns_of(const Drive& drive) {
  DriveReturns out;
  ReturnInputs in;
  for (const Chain& chain : drive.chains) {
    const auto wheels = wheels_of(drive, chain);
    if (wheels.size() < 2 || !chain.links) continue;
    const auto driver = shaft_turns(drive, wheels[0]);
    const auto teeth = teeth_under(drive, chain, wheels[0]);
    if (!driver || !teeth) continue;
    std::vector<Fraction> driven;
    for (std::size_t i = 1; i < wheels.size(); ++i) {
      // A pump or a tension wheel without a mark has nothing to return.
      if (mark_at(chain, wheels[i]) == nullptr && !chain.marks.empty()) continue;
      if (const auto turns = shaft_turns(drive, wheels[i])) driven.push_back(*turns);
    }
    if (driven.empty()) continue;
    in.shafts.insert(in.shafts.end(), driven.begin(), driven.end());
    in.chains.push_back({*chain.links, *teeth, *driver});
    out.chains.push_back(&chain);
  }
  const auto turns = mark_returns(in);
  if (!turns || out.chains.empty()) return std::nullopt;
  out.turns = *turns;
  return out;
}

}  // namespace tautmark
