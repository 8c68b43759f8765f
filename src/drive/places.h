// SPDX-License-Identifier: Apache-2.0
// The places of one engine at which something is measured, as paths a person can read:
//
//   bank 2 / camshaft / journal 1      bank 2 / camshaft      bank 2 / camshaft / phaser
//   bank 2 chain      bank 2 chain / tensioner      bank 2 chain / fixed guide
//   main gallery      bank 2 / head port      phaser bolt / no. 2      cylinder 3
//
// Fasteners are places only where the maker lets them go in again within a size. A limit names one
// place or a pattern: "every journal", "bank 2 / every journal", "every head port", "every
// camshaft". Names are compared without regard to case and blanks.
#pragma once

#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "drive/drive.h"

namespace tautmark {

struct EnginePlace {
  std::string path{};
  PlaceType type{};
  std::optional<int> bank{};
  int number = 0;                 // journals: counted from the timing end; fasteners, cylinders
  const Bank* in_bank = nullptr;  // these point into the drive that was asked
  const Camshaft* camshaft = nullptr;
  const Chain* chain = nullptr;
  const Guide* guide = nullptr;
  const Fastener* fastener = nullptr;
};

// In the order of the drive file. Valid as long as the drive is.
std::vector<EnginePlace> places_of(const Drive& drive);

bool place_matches(std::string_view pattern, const EnginePlace& place);
bool same_place(std::string_view a, std::string_view b);
const EnginePlace* find_place(const std::vector<EnginePlace>& places, std::string_view path);

// The fit that limits this quantity at this place; an exact place wins over a pattern, the longer
// pattern over the shorter.
const Fit* fit_for(const Drive& drive, Measurand quantity, const EnginePlace& place);

// The chain that drives a camshaft; the teeth of the crank sprocket under a chain.
const Chain* chain_of(const Drive& drive, const Bank& bank, const Camshaft& camshaft);
const CrankSprocket* crank_sprocket_of(const Drive& drive, const Chain& chain);

// The fastener of that name, of that bank before one of every bank; never of another bank. Null:
// none.
const Fastener* fastener_named(const Drive& drive, std::string_view name,
                               std::optional<int> bank = {});

// A strand count as pitches from marked tooth to marked tooth, whatever was counted.
int as_pitches(int links, LinkCounting counted);

}  // namespace tautmark
