// SPDX-License-Identifier: Apache-2.0
#include "drive/places.h"

#include <fmt/format.h>

#include <algorithm>

#include "base/text.h"

namespace tautmark {
namespace {

std::vector<std::string> segments(std::string_view path) {
  std::vector<std::string> parts = split(path, '/');
  for (std::string& part : parts) part = folded(part);
  return parts;
}

// "every X": X is the type of the place, or the last part of its path.
bool every_matches(std::string_view what, const EnginePlace& place) {
  if (what == place_type_name(place.type)) return true;
  return what == segments(place.path).back();
}

void add_bank_places(const Bank& bank, std::vector<EnginePlace>& places) {
  for (const Camshaft& camshaft : bank.camshafts) {
    const std::string path = fmt::format("bank {} / {}", bank.number, camshaft.name);
    EnginePlace place{.path = path,
                      .type = PlaceType::camshaft,
                      .bank = bank.number,
                      .in_bank = &bank,
                      .camshaft = &camshaft};
    places.push_back(place);
    for (int journal = 1; journal <= camshaft.journals.value_or(0); ++journal) {
      place.path = fmt::format("{} / journal {}", path, journal);
      place.type = PlaceType::journal;
      place.number = journal;
      places.push_back(place);
    }
    if (camshaft.phaser) {
      place.path = path + " / phaser";
      place.type = PlaceType::phaser;
      place.number = 0;
      places.push_back(place);
    }
  }
}

void add_chain_places(const Chain& chain, std::vector<EnginePlace>& places) {
  EnginePlace place{
      .path = chain.name, .type = PlaceType::chain, .bank = chain.bank, .chain = &chain};
  places.push_back(place);
  if (chain.tensioner) {
    place.path = chain.name + " / tensioner";
    place.type = PlaceType::tensioner;
    places.push_back(place);
  }
  for (const Guide& guide : chain.guides) {
    place.path = chain.name + " / " + guide.name;
    place.type = PlaceType::guide;
    place.guide = &guide;
    places.push_back(place);
  }
}

void add_fastener_places(const Fastener& fastener, std::vector<EnginePlace>& places) {
  if (fastener.single_use.value_or(true) || (!fastener.longest && !fastener.thinnest)) return;
  EnginePlace place{.path = fastener.bank
                                ? fmt::format("bank {} / {}", *fastener.bank, fastener.name)
                                : fastener.name,
                    .type = PlaceType::fastener,
                    .bank = fastener.bank,
                    .fastener = &fastener};
  const int count = fastener.count.value_or(1);
  if (count == 1) places.push_back(place);
  if (count < 2) return;
  const std::string path = place.path;
  for (place.number = 1; place.number <= count; ++place.number) {
    place.path = fmt::format("{} / no. {}", path, place.number);
    places.push_back(place);
  }
}

void add_cylinder_places(const Cylinders& cylinders, std::vector<EnginePlace>& places) {
  const int count = cylinders.count.value_or(static_cast<int>(cylinders.firing_order.size()));
  for (int number = 1; number <= count; ++number)
    places.push_back({.path = fmt::format("cylinder {}", number),
                      .type = PlaceType::cylinder,
                      .number = number});
}

}  // namespace

std::vector<EnginePlace> places_of(const Drive& drive) {
  std::vector<EnginePlace> places;
  for (const Bank& bank : drive.banks) add_bank_places(bank, places);
  for (const Chain& chain : drive.chains) add_chain_places(chain, places);
  if (drive.oil) {
    for (const OilPort& port : drive.oil->ports) {
      const std::string path =
          port.bank ? fmt::format("bank {} / {}", *port.bank, port.name) : port.name;
      places.push_back({.path = path, .type = PlaceType::oil_port, .bank = port.bank});
    }
  }
  for (const Fastener& fastener : drive.fasteners) add_fastener_places(fastener, places);
  if (drive.cylinders) add_cylinder_places(*drive.cylinders, places);
  return places;
}

bool place_matches(std::string_view pattern, const EnginePlace& place) {
  const auto wanted = segments(pattern);
  const auto path = segments(place.path);
  if (wanted == path) return true;
  std::string_view last = wanted.back();
  if (!last.starts_with("every ")) return false;
  last.remove_prefix(6);
  if (!every_matches(last, place)) return false;
  if (wanted.size() > path.size()) return false;
  for (std::size_t i = 0; i + 1 < wanted.size(); ++i) {
    std::string_view part = wanted[i];
    if (part == "every bank" && path[i].starts_with("bank ")) continue;
    if (part == "every camshaft" && place.camshaft != nullptr) continue;
    if (part != path[i]) return false;
  }
  return true;
}

bool same_place(std::string_view a, std::string_view b) { return segments(a) == segments(b); }

const EnginePlace* find_place(const std::vector<EnginePlace>& places, std::string_view path) {
  const auto found = std::find_if(places.begin(), places.end(), [&](const EnginePlace& place) {
    return same_place(place.path, path);
  });
  return found == places.end() ? nullptr : &*found;
}

const Fit* fit_for(const Drive& drive, Measurand quantity, const EnginePlace& place) {
  const Fit* best = nullptr;
  int best_rank = -1;
  for (const Fit& fit : drive.fits) {
    if (fit.quantity != quantity || !place_matches(fit.at, place)) continue;
    const int rank =
        same_place(fit.at, place.path) ? 1000 : static_cast<int>(segments(fit.at).size());
    if (rank > best_rank) {
      best = &fit;
      best_rank = rank;
    }
  }
  return best;
}

const Chain* chain_of(const Drive& drive, const Bank& bank, const Camshaft& camshaft) {
  if (camshaft.chain) {
    for (const Chain& chain : drive.chains)
      if (folded(chain.name) == folded(*camshaft.chain)) return &chain;
    return nullptr;
  }
  if (drive.chains.size() == 1) return &drive.chains.front();
  const Chain* only = nullptr;
  for (const Chain& chain : drive.chains) {
    if (chain.bank != bank.number) continue;
    if (only != nullptr) return nullptr;
    only = &chain;
  }
  return only;
}

const CrankSprocket* crank_sprocket_of(const Drive& drive, const Chain& chain) {
  if (!drive.crankshaft) return nullptr;
  const auto& sprockets = drive.crankshaft->sprockets;
  for (const CrankSprocket& sprocket : sprockets)
    if (sprocket.chain && folded(*sprocket.chain) == folded(chain.name)) return &sprocket;
  // One unnamed sprocket serves every chain: rows with the same teeth.
  if (sprockets.size() == 1 && !sprockets.front().chain) return &sprockets.front();
  return nullptr;
}

const Fastener* fastener_named(const Drive& drive, std::string_view name, std::optional<int> bank) {
  const Fastener* found = nullptr;
  for (const Fastener& fastener : drive.fasteners) {
    if (folded(fastener.name) != folded(name)) continue;
    if (fastener.bank == bank) return &fastener;
    if (found == nullptr && (!fastener.bank || !bank)) found = &fastener;
  }
  return found;
}

int as_pitches(int links, LinkCounting counted) {
  switch (counted) {
    case LinkCounting::pitches:
      return links;
    case LinkCounting::both_marks:
      return links - 1;
    case LinkCounting::between:
      return links + 1;
  }
  return links;
}

}  // namespace tautmark
