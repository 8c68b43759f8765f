// SPDX-License-Identifier: Apache-2.0
#include <fmt/format.h>
#include <gtest/gtest.h>
#include "recording/decode.h"
#include "recording/recording_test_support.h"
namespace tautmark {
namespace {
TEST(Real, Show) {
  for (const char* name : {"r01.csv", "r02.csv", "r05.csv", "r06.csv", "r11.csv", "r13.csv", "r15.csv", "r16.csv", "r18.csv", "n1.csv"}) {
    const auto trains = test::load_event_csv(name);
    if (!trains) GTEST_SKIP() << "skipped: no recordings";
    const auto d = decode_recording(*trains);
    if (!d) { fmt::print("{}: refused {}\n", name, d.error().why); continue; }
    fmt::print("{}: ch {} {:+d} {} pieces {} missed {} extra {} cycle {} \n", name, d->crank.channel, d->crank.polarity, d->crank.wheel.name, d->crank.pieces.size(), d->crank.missed_teeth, d->crank.extra_edges, d->cycle);
    for (double a : d->crank.wheel.angles) if (d->crank.wheel.angles.size() < 6) fmt::print(" {:.1f}", a);
    std::vector<double> s; for (auto& t : d->speed) s.push_back(t.per_minute);
    std::sort(s.begin(), s.end());
    if (!s.empty()) fmt::print(" speed {:.0f}/{:.0f}/{:.0f} ({})\n", s.front(), s[s.size()/2], s.back(), s.size());
    for (auto& cam : d->cams) {
      fmt::print("  c{}{:+d}: ", cam.channel, cam.polarity);
      for (std::size_t c = 0; c < cam.places.angles.size(); ++c) {
        double sum = 0, sq = 0; int n = 0;
        for (auto& e : cam.edges) if (e.place == (int)c) { sum += e.residual; sq += e.residual*e.residual; ++n; }
        fmt::print("{:.2f} ({:.2f}; {}), ", cam.places.angles[c] + sum/n, std::sqrt((sq - sum*sum/n)/(n-1)), n);
      }
      fmt::print(" wrong {}\n", cam.places.wrong);
    }
    for (auto& r : d->rejected) fmt::print("  rejected {}: {}\n", r.channel, r.why);
    for (auto& r : d->notes) fmt::print("  note {}\n", r);
  }
}
}
}
