// SPDX-License-Identifier: Apache-2.0
#include "serve/assets.h"

#include <fmt/format.h>
#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include <filesystem>
#include <fstream>
#include <iterator>
#include <map>
#include <set>
#include <string>

#include "serve/asset_answer.h"

namespace tautmark {
namespace {

// What web/ is built into.
const std::filesystem::path kFolder = std::filesystem::path(TAUTMARK_SOURCE_DIR) / "build/page";

std::string bytes_of(const std::filesystem::path& path) {
  std::ifstream in(path, std::ios::binary);
  return {std::istreambuf_iterator<char>(in), {}};
}

TEST(Assets, AreTheFilesOfThePageByteForByte) {
  std::map<std::string, std::string> files;
  std::set<std::string> etags;
  for (const auto& entry : std::filesystem::recursive_directory_iterator(kFolder))
    if (entry.is_regular_file())
      files["/" + std::filesystem::relative(entry.path(), kFolder).generic_string()] =
          bytes_of(entry.path());
  std::map<std::string, std::string> assets;
  for (const Asset& asset : all_assets()) {
    assets.emplace(asset.path, asset.bytes);
    etags.emplace(asset.etag);
    // RFC 9110, section 8.8.3: a strong validator in its quotes.
    EXPECT_THAT(std::string(asset.etag), testing::MatchesRegex("\"[0-9a-f]+\""));
  }
  EXPECT_EQ(assets, files);
  EXPECT_EQ(etags.size(), assets.size());
}

Asset asset_at(std::string_view path) {
  for (const Asset& asset : all_assets())
    if (asset.path == path) return asset;
  ADD_FAILURE() << path;
  return {};
}

TEST(Assets, HaveTheTypeOfTheirEnding) {
  EXPECT_EQ(asset_at("/index.html").type, "text/html; charset=utf-8");
  EXPECT_EQ(asset_at("/sw.js").type, "text/javascript; charset=utf-8");
  EXPECT_EQ(asset_at("/code/index.css").type, "text/css; charset=utf-8");
}

// The content security policy of the server forbids anything else.
TEST(Assets, ThePageNeedsNothingFromElsewhereAndNothingInline) {
  for (const Asset& asset : all_assets()) {
    std::string text(asset.bytes);
    constexpr std::string_view kNames = "http://www.w3.org/";  // of XML: names, not fetched
    for (auto at = text.find(kNames); at != text.npos; at = text.find(kNames, at))
      text.erase(at, kNames.size());
    for (const char* word : {"http:", "https:", "<style", "onclick=", "eval("})
      EXPECT_THAT(text, testing::Not(testing::HasSubstr(word))) << asset.path;
    if (asset.path.ends_with(".html")) {
      EXPECT_THAT(text, testing::Not(testing::ContainsRegex("style=|<script>"))) << asset.path;
    }
  }
}

// What is loaded before anything shows, as it goes over the network.
TEST(Assets, TheFirstLoadIsSmall) {
  const std::string page(asset_at("/index.html").bytes);
  std::size_t sum = gzip_of(page).size(), found = 0;
  for (const Asset& asset : all_assets()) {
    if (page.find(fmt::format("\"{}\"", asset.path)) == page.npos) continue;
    sum += gzip_of(asset.bytes).size();
    ++found;
  }
  EXPECT_GE(found, 3U);  // its code, its style, its mark
  EXPECT_LT(sum, 300'000U);
}

}  // namespace
}  // namespace tautmark
