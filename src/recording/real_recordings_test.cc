// SPDX-License-Identifier: Apache-2.0
// Recordings published with an open-source engine-control firmware, see shared/data/recordings.
// Rows, channels and glitches were counted by hand there; wheels are stated by its README.
#include <gtest/gtest.h>

#include <algorithm>
#include <filesystem>
#include <fstream>

#include "recording/read.h"

namespace tautmark {
namespace {

const std::filesystem::path kFolder =
    std::filesystem::path(TAUTMARK_SOURCE_DIR) / ".." / "shared" / "data" / "recordings";

#define NEED_RECORDINGS() \
  if (!std::filesystem::exists(kFolder)) GTEST_SKIP() << "skipped: no recordings"

SignalTrains recording(const std::string& name) {
  const auto trains = read_recording((kFolder / name).string());
  EXPECT_TRUE(trains.has_value()) << diagnostics_text(trains ? Diagnostics() : trains.error());
  return trains.value_or(SignalTrains());
}

TEST(RealRecordings, Show) {
  NEED_RECORDINGS();
  for (const char* name : {"r01", "r02", "r05", "r06", "r11", "r13", "r15", "r16", "r18", "n1", "a1", "a2", "a4"}) {
    const SignalTrains t = recording(std::string(name) + ".csv");
    printf("%s %s rows %ld %g..%g\n", name, t.format.c_str(), (long)t.samples, t.first_time, t.last_time);
    for (auto& n : t.notes) printf("   note %s\n", n.c_str());
    for (auto& c : t.channels) {
      long up = 0; for (auto& e : c.edges) up += e.polarity > 0;
      if (c.kind == SignalKind::inductive) for (int pol : {-1, 1}) {
        std::vector<double> tt; for (auto& e : c.edges) if (e.polarity == pol) tt.push_back(e.time);
        int n = 0; printf("  pol %d:", pol);
        for (size_t i = 1; i + 1 < tt.size(); ++i) { ++n; double d=tt[i]-tt[i-1]; double m=i>2? std::min(tt[i-1]-tt[i-2], tt[i+1]-tt[i]):d; if (d > 1.8*m) { printf(" %d(%.2f)", n, d/m); n = 0; } }
        printf("\n");
      }
      printf("   %d '%s' kind %d edges %zu up %ld glitches %ld unknown %ld u %g\n", c.channel, c.name.c_str(), (int)c.kind, c.edges.size(), up, (long)c.glitches, (long)c.unknown_samples, c.time_uncertainty);
    }
  }
}

}  // namespace
}  // namespace tautmark
