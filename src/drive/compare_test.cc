// SPDX-License-Identifier: Apache-2.0
#include "drive/compare.h"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include <string>

#include "drive/load.h"

namespace tautmark {
namespace {

using ::testing::ElementsAre;
using ::testing::HasSubstr;
using ::testing::IsEmpty;

Drive drive_of(const std::string& name, const std::string& links, const std::string& more = "") {
  const auto loaded = load_drive_text(
      make_text_file(name + ".drive.yaml", "tautmark: drive/1\nname: " + name +
                                               "\nchains: [{name: timing chain, pitch: 8.00 mm, "
                                               "links: " +
                                               links + "}]\n" + more),
      {});
  EXPECT_TRUE(loaded) << (loaded ? "" : diagnostics_text(loaded.error()));
  return loaded ? loaded->drive : Drive{};
}

std::vector<std::string> fields(const std::vector<DriveDifference>& all) {
  std::vector<std::string> names;
  for (const DriveDifference& one : all) names.push_back(one.field);
  return names;
}

TEST(CompareDrives, TheSameUnderAnotherNameDiffersInNothing) {
  const DriveComparison compared = compare_drives(drive_of("a", "124"), drive_of("b", "124"));
  EXPECT_THAT(compared.fields, IsEmpty());
  EXPECT_THAT(compared.biting, IsEmpty());
  EXPECT_EQ(compared.same, 3);  // name, pitch and links of the chain
}

TEST(CompareDrives, WhatCostsAnEngineComesWithItsReason) {
  const DriveComparison compared =
      compare_drives(drive_of("a", "124", "recognise: [cast letter A]\n"),
                     drive_of("b", "126", "note: taller block\n"));
  ASSERT_THAT(fields(compared.biting), ElementsAre("timing chain", "told by"));
  EXPECT_EQ(compared.biting[0].here, "124 links");
  EXPECT_EQ(compared.biting[0].there, "126 links");
  EXPECT_THAT(compared.biting[0].where_it_bites, HasSubstr("does not fit"));
  EXPECT_EQ(compared.biting[1].here, "cast letter A");
  EXPECT_EQ(compared.biting[1].there, "b does not say how to tell it");
  EXPECT_THAT(fields(compared.fields),
              testing::UnorderedElementsAre("recognise", "chains / timing chain / links", "note"));
  for (const DriveDifference& one : compared.fields) EXPECT_EQ(one.where_it_bites, "");
}

TEST(CompareDrives, WhatOnlyOneSaysIsADash) {
  const DriveComparison compared =
      compare_drives(drive_of("a", "124"), drive_of("b", "124", "note: taller block\n"));
  ASSERT_THAT(fields(compared.fields), ElementsAre("note"));
  EXPECT_EQ(compared.fields[0].here, "-");
  EXPECT_EQ(compared.fields[0].there, "taller block");
}

}  // namespace
}  // namespace tautmark
