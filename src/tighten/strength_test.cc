// SPDX-License-Identifier: Apache-2.0
#include "tighten/strength.h"

#include <gtest/gtest.h>

#include "tighten/thread.h"

namespace tautmark::tighten {
namespace {

// F2.40 to F2.45. Published: load tables of ISO 898-1, coarse threads, in a reprint; 0.7 % because
// the standard rounds the area first and the load after.
TEST(Strength, LoadsOfTheStandard) {
  struct Row {
    std::string_view thread, name;
    bool proof;
    double published;  // N
  };
  const Row rows[] = {{"M6x1", "8.8", true, 11600},      {"M8x1.25", "10.9", true, 30400},
                      {"M10x1.5", "10.9", true, 48100},  {"M10x1.5", "10.9", false, 60300},
                      {"M12x1.75", "12.9", true, 81800}, {"M14x2", "8.8", false, 92000}};
  for (const Row& row : rows) {
    const Thread thread = read_thread(row.thread)->possible[0];
    const auto values = strength(row.name, thread.nominal);
    ASSERT_TRUE(values);
    const Pressure stress = row.proof ? values->proof : values->tensile;
    EXPECT_NEAR(thread_sizes(thread).stress_area * stress.si(), row.published,
                0.007 * row.published)
        << row.thread;
  }
}

// F2.46: own arithmetic from SAE J429 grade 5 and ASME B1.1.
TEST(Strength, InchGrade) {
  const Thread thread = read_thread("3/8-16")->possible[0];
  EXPECT_NEAR(
      thread_sizes(thread).stress_area * strength("SAE grade 5", thread.nominal)->proof.si(),
      29298.951662, 0.001 * 29298.95);
}

TEST(Strength, RowsEndAtTheirSize) {
  EXPECT_EQ(strength("8.8", mm(16))->tensile, Pressure::from_si(800e6));
  EXPECT_EQ(strength("class 8.8", mm(18))->tensile, Pressure::from_si(830e6));
  EXPECT_FALSE(strength("9.8", mm(18)));
  EXPECT_FALSE(strength("11.9", mm(10)));
}

}  // namespace
}  // namespace tautmark::tighten
