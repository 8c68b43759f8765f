// SPDX-License-Identifier: Apache-2.0
#include "judge/way_answer.h"

#include <fmt/format.h>
#include <gmock/gmock.h>

#include "judge/way_test_support.h"

namespace tautmark {
namespace {

using test::WayCase;
using test::way_loaded;
using test::way_of;

TEST(Probe, Print) {
  for (const char* chain : {"on", "off"})
    for (const char* intake : {"1 tooth late", "2 teeth late", "1 tooth early", "2 teeth early", "3 teeth early"})
      for (const char* crank : {"75 ± 1 deg crank", "0 ± 1 deg crank", "20 ± 1 deg crank"}) {
        const WayAnswer way = way_of(way_loaded(WayCase{.chain = chain, .intake = intake, .crank = crank}));
        fmt::print("== {} {} {}: may {} least {}\n", chain, intake, crank, way.may(),
                   way.least ? in_mm(*way.least) : -99);
        for (const auto& f : way.forbidden) fmt::print("  forbidden {}\n", f);
        fmt::print("  no way {}\n", way.no_way);
        for (const auto& m : way.moves) fmt::print("  {}\n", m.words);
        for (const auto& m : way.explained) fmt::print("  {}\n", m);
      }
}

}  // namespace
}  // namespace tautmark
