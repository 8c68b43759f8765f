// SPDX-License-Identifier: Apache-2.0
#include "drive/drive.h"

#include <fmt/format.h>
#include <gtest/gtest.h>
#include <rapidcheck/gtest.h>

#include <filesystem>
#include <set>

#include "base/text.h"
#include "drive/drive_fields.h"
#include "drive/load.h"
#include "support/random_record.h"

namespace tautmark {
namespace {

RC_GTEST_PROP(DriveRoundTrip, ARandomDriveReadsBackAsItWas, (unsigned seed)) {
  const std::string problem = test::round_trip_problem(test::RandomRecord(seed).make<Drive>());
  if (!problem.empty()) RC_FAIL(problem);
}

TEST(DriveRoundTrip, EveryDriveThatComesWithTheProgramReadsBackAsItWas) {
  const DriveFolders folders{{std::filesystem::path(TAUTMARK_SOURCE_DIR) / "drives"}};
  const auto names = drives_in(folders);
  ASSERT_FALSE(names.empty());
  for (const std::string& name : names) {
    const auto loaded = load_drive(name, folders);
    ASSERT_TRUE(loaded) << diagnostics_text(loaded.error());
    EXPECT_FALSE(has_errors(loaded->warnings)) << diagnostics_text(loaded->warnings);
    EXPECT_EQ(test::round_trip_problem(loaded->drive), "") << name;
  }
}

// The examples are printed in the reference of the format: each must be readable.
void check_examples(const TypeInfo& type, std::set<const TypeInfo*>& seen) {
  if (type.shape == Shape::optional || type.shape == Shape::list)
    return check_examples(type.element(), seen);
  if (type.shape != Shape::record || !seen.insert(&type).second) return;
  for (const FieldInfo& field : type.fields()) {
    check_examples(field.type(), seen);
    if (field.example.empty()) continue;
    const auto node =
        parse_yaml(make_text_file("example", fmt::format("{}: {}\n", field.key, field.example)));
    if (!node) {  // a text with ": " or a sign stands in quotes in a file
      EXPECT_EQ(
          (field.type().shape == Shape::optional ? field.type().element() : field.type()).name,
          "text")
          << field.key << ": " << diagnostics_text(node.error());
    }
  }
}

TEST(DriveExamples, AreReadable) {
  std::set<const TypeInfo*> seen;
  check_examples(type_of<Drive>(), seen);
  EXPECT_GT(seen.size(), 15U);
}

TEST(DriveFields, EveryTopicThatBitesIsBorneByAField) {
  std::set<std::string_view> borne;
  std::set<const TypeInfo*> seen;
  const auto walk = [&](const TypeInfo& type, const auto& self) -> void {
    if (type.shape == Shape::optional || type.shape == Shape::list)
      return self(type.element(), self);
    if (type.shape != Shape::record || !seen.insert(&type).second) return;
    for (const FieldInfo& field : type.fields()) {
      if (!field.options.topic.empty()) borne.insert(field.options.topic);
      self(field.type(), self);
    }
  };
  walk(type_of<Drive>(), walk);
  EXPECT_EQ(borne, std::set<std::string_view>(std::begin(topic::kAll), std::end(topic::kAll)));
}

}  // namespace
}  // namespace tautmark
