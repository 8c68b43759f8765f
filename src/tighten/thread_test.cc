// SPDX-License-Identifier: Apache-2.0
#include "tighten/thread.h"

#include <gtest/gtest.h>

#include <string>

namespace tautmark::tighten {
namespace {

Thread one(std::string_view text) {
  const auto read = read_thread(text);
  EXPECT_TRUE(read) << text;
  return read->possible.at(0);
}

// F2.1 to F2.13. Published: ISO 898-1 table of stress areas and Bickford, 4th ed., each in a
// reprint; fine pitches from memory. Computed: own double precision (fasteners-checks.yaml).
TEST(ThreadSizes, MetricStressAreas) {
  struct Row {
    std::string_view thread;
    double computed, published, published_digits;
  };
  const Row rows[] = {
      {"M5x0.8", 14.182547116555565, 14.183, 5e-4},  {"M6x1", 20.123375990073452, 20.123, 5e-4},
      {"M7x1", 28.859840130799977, 28.9, 0.05},      {"M8x1.25", 36.60854076116981, 36.609, 5e-4},
      {"M8x1", 39.167100598321404, 39.2, 0.05},      {"M10x1.5", 57.98959310705632, 57.990, 5e-4},
      {"M10x1.25", 61.1985946848772, 61.2, 0.05},    {"M10x1", 64.49401051374893, 64.5, 0.05},
      {"M12x1.75", 84.26653302773303, 84.267, 5e-4}, {"M12x1.5", 88.12597634622314, 88.1, 0.05},
      {"M12x1.25", 92.07183391576416, 92.1, 0.05},   {"M14x2", 115.43936052319991, 115.44, 5e-3},
      {"M14x1.5", 124.54554489256955, 125, 0.5},
  };
  for (const Row& row : rows) {
    const double area = thread_sizes(one(row.thread)).stress_area * 1e6;
    EXPECT_NEAR(area, row.computed, 1e-9 * row.computed) << row.thread;
    EXPECT_NEAR(area, row.published, row.published_digits) << row.thread;
  }
}

// F2.20 to F2.31. Published: Shigley 9th ed. table 8-2, after ANSI B1.1 (two figures truncated).
TEST(ThreadSizes, UnifiedStressAreas) {
  struct Row {
    std::string_view thread;
    double published;
  };
  const Row rows[] = {{"No. 10-24", 0.0175},  {"#10-32", 0.0200},     {"1/4-20", 0.0318},
                      {"1/4-28", 0.0364},     {"5/16-18", 0.0524},    {"5/16-24", 0.0580},
                      {"3/8-16 UNC", 0.0775}, {"3/8-24 UNF", 0.0878}, {"7/16-14", 0.1063},
                      {"7/16-20", 0.1187},    {"1/2-13", 0.1419},     {"1/2-20", 0.1599}};
  for (const Row& row : rows) {
    EXPECT_NEAR(thread_sizes(one(row.thread)).stress_area * 1e6 / 645.16, row.published, 1e-4)
        << row.thread;
  }
}

// F2.1, F2.9 and the helix angles of fasteners.md 2.1 (3.168° published for M8x1.25).
TEST(ThreadSizes, DiametersAndHelix) {
  const ThreadSizes m5 = thread_sizes(one("M5x0.8"));
  EXPECT_NEAR(in_mm(m5.pitch_diameter), 4.480385, 1e-6);
  EXPECT_NEAR(in_mm(m5.root_diameter), 4.018505, 1e-6);
  EXPECT_NEAR(in_deg(thread_sizes(one("M8x1.25")).helix), 3.168295, 1e-6);
  EXPECT_NEAR(in_deg(thread_sizes(one("M10x1.5")).helix), 3.028151, 1e-6);
  EXPECT_NEAR(in_deg(thread_sizes(one("M10x1.25")).helix), 2.479624, 1e-6);
}

TEST(ReadThread, TakesTheWaysPeopleWriteIt) {
  for (const std::string_view text :
       {"M12x1.25", "m12 x 1.25", "M12×1,25", "M12-1.25", "M12 X 1.25"}) {
    EXPECT_EQ(one(text).shown, "M12x1.25") << text;
    EXPECT_TRUE(read_thread(text)->pitch_written);
  }
  EXPECT_EQ(one("3/8-16 UNC").shown, "3/8-16");
  EXPECT_EQ(one("no 10-32").shown, "No. 10-32");
}

TEST(ReadThread, GuessesNoPitch) {
  const auto m10 = read_thread("M10");
  ASSERT_TRUE(m10);
  EXPECT_FALSE(m10->pitch_written);
  ASSERT_EQ(m10->possible.size(), 3U);
  EXPECT_EQ(m10->possible[1].shown, "M10x1.25");
  EXPECT_EQ(read_thread("3/8")->possible.size(), 2U);
}

TEST(ReadThread, RefusesWithWhatWasExpected) {
  for (const std::string_view text : {"", "M", "bolt", "M12x", "M6x40", "3/8-2", "M200x3", "Mx1"}) {
    const auto read = read_thread(text);
    ASSERT_FALSE(read) << text;
    EXPECT_FALSE(read.error().why.empty());
  }
  EXPECT_NE(read_thread("M6x40").error().why.find("bolt length"), std::string::npos);
}

}  // namespace
}  // namespace tautmark::tighten
