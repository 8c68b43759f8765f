// SPDX-License-Identifier: Apache-2.0
#include "serve/api_types.h"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include <nlohmann/json.hpp>

#include "casework/case_fields.h"

namespace tautmark {
namespace {

using testing::HasSubstr;
using testing::IsEmpty;

template <class T>
std::string mistakes_in(const std::string& text, T& value) {
  auto read = api_value<T>(text);
  if (!read) return diagnostics_text(read.error());
  value = std::move(*read);
  return {};
}

TEST(ApiTypes, AnEntryComesWithoutAnIdAndGoesWithOne) {
  AppendRequest request;
  ASSERT_THAT(mistakes_in(R"({"key": "t-1", "entry": {"kind": "codes", "codes": ["P0016"],
                             "by": "bay 3"}})",
                          request),
              IsEmpty());
  EXPECT_EQ(request.entry.entry.id, "");
  EXPECT_EQ(request.entry.entry.by, "bay 3");
  EXPECT_EQ(std::get<Codes>(request.entry.entry.body).codes, std::vector<std::string>{"P0016"});

  StoredEntry stored;
  stored.entry = request.entry.entry;
  stored.entry.id = "e17";
  const auto json = nlohmann::json::parse(api_json(stored));
  EXPECT_EQ(json["entry"]["id"], "e17");
  EXPECT_EQ(json["entry"]["kind"], "codes");

  AppendRequest wrong;
  EXPECT_THAT(mistakes_in(R"({"entry": {"kind": "guess"}})", wrong), HasSubstr("guess"));
  EXPECT_THAT(mistakes_in(R"({"entry": {"kind": "note", "words": "x"}, "kye": "1"})", wrong),
              HasSubstr("did you mean \"key\"?"));
}

TEST(ApiTypes, OfACaseOnlyTheHeadIsTaken) {
  NewCase made;
  ASSERT_THAT(
      mistakes_in(R"({"name": "bay 3", "title": "Rattle", "candidates": ["a", "b"]})", made),
      IsEmpty());
  EXPECT_EQ(made.head.name, "bay 3");
  EXPECT_EQ(made.head.candidates.size(), 2U);
  EXPECT_THAT(mistakes_in(R"({"title": "Rattle"})", made), HasSubstr("\"name\" is missing"));
  EXPECT_THAT(mistakes_in(R"({"name": "x", "entries": []})", made), HasSubstr("unknown key"));

  CaseHead head;
  ASSERT_THAT(mistakes_in(R"({"drive": "thin", "engine": {"serial": "17"},
                             "instruments": [{"name": "M1", "type": "micrometer"}]})",
                          head),
              IsEmpty());
  EXPECT_EQ(head.head.engine->serial, "17");
  EXPECT_EQ(head.head.instruments.size(), 1U);
  EXPECT_FALSE(head.head.title);
  EXPECT_THAT(mistakes_in(R"({"name": "other"})", head), HasSubstr("unknown key"));
}

TEST(ApiTypes, ListsAreWrittenEmptyAndTextsAreNot) {
  const auto list = nlohmann::json::parse(api_json(CaseList{}));
  EXPECT_EQ(list, nlohmann::json::parse(R"({"cases": [], "found": 0, "more": false})"));
  const auto me = nlohmann::json::parse(
      api_json(Me{.name = "bay 3", .role = Role::write, .device = {}, .expires = {}}));
  EXPECT_EQ(me, nlohmann::json::parse(R"({"name": "bay 3", "role": "write"})"));
  FileRow large{.name = "a", .bytes = std::int64_t{5} << 32, .sha256 = "x"};
  EXPECT_EQ(nlohmann::json::parse(api_json(large))["bytes"], std::int64_t{5} << 32);
}

TEST(ApiTypes, ChangesOfAnAccountAreWhatWasGiven) {
  AccountChange change;
  ASSERT_THAT(mistakes_in(R"({"disabled": true, "role": "manage"})", change), IsEmpty());
  EXPECT_EQ(change.role, Role::manage);
  EXPECT_EQ(change.disabled, true);
  EXPECT_FALSE(change.password);
  EXPECT_THAT(mistakes_in(R"({"role": "owner"})", change), HasSubstr("read, write, manage"));
}

TEST(ApiTypes, MistakesSayWhereTheyAre) {
  const auto read = api_value<LoginRequest>("{\n  \"name\": \"bay 3\",\n  \"pasword\": \"x\"\n}");
  ASSERT_FALSE(read);
  const std::vector<Mistake> mistakes = mistakes_of(read.error());
  ASSERT_EQ(mistakes.size(), 2U);
  Problem problem{
      .title = "Not usable", .status = 422, .detail = "two mistakes", .mistakes = mistakes};
  const auto json = nlohmann::json::parse(api_json(problem));
  EXPECT_EQ(json["status"], 422);
  EXPECT_EQ(json["mistakes"].size(), 2U);
  for (const auto& mistake : json["mistakes"]) EXPECT_EQ(mistake["file"], "request");
  EXPECT_FALSE(api_value<LoginRequest>("{"));
  EXPECT_FALSE(api_value<LoginRequest>(""));
  EXPECT_FALSE(api_value<LoginRequest>("[1]"));
}

}  // namespace
}  // namespace tautmark
