// SPDX-License-Identifier: Apache-2.0
#include "serve/assets.h"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include <filesystem>
#include <fstream>
#include <iterator>
#include <set>
#include <string>

namespace tautmark {
namespace {

const std::filesystem::path kPage = std::filesystem::path(TAUTMARK_SOURCE_DIR) / "src/serve/page";

TEST(Assets, AreTheFilesOfThePageByteForByte) {
  std::set<std::string> files, assets, etags;
  for (const auto& entry : std::filesystem::recursive_directory_iterator(kPage))
    if (entry.is_regular_file())
      files.insert("/" + std::filesystem::relative(entry.path(), kPage).generic_string());
  for (const Asset& asset : all_assets()) {
    assets.emplace(asset.path);
    etags.emplace(asset.etag);
    std::ifstream in(kPage / asset.path.substr(1), std::ios::binary);
    EXPECT_EQ(asset.bytes, std::string(std::istreambuf_iterator<char>(in), {})) << asset.path;
    // RFC 9110, section 8.8.3: a strong validator in its quotes.
    EXPECT_THAT(std::string(asset.etag), testing::MatchesRegex("\"[0-9a-f]+\""));
  }
  EXPECT_EQ(assets, files);
  EXPECT_EQ(etags.size(), assets.size());
}

TEST(Assets, AreFoundByPathAndNothingElseIs) {
  ASSERT_TRUE(find_asset("/"));
  EXPECT_EQ(find_asset("/")->path, "/index.html");
  EXPECT_EQ(find_asset("/")->type, "text/html; charset=utf-8");
  EXPECT_EQ(find_asset("/status.js")->type, "text/javascript; charset=utf-8");
  EXPECT_EQ(find_asset("/style.css")->type, "text/css; charset=utf-8");
  for (const char* path : {"", "index.html", "/index", "/page/index.html", "/../serve/assets.h",
                           "//index.html", "/INDEX.HTML", "/index.html/"})
    EXPECT_FALSE(find_asset(path)) << path;
}

// The content security policy of the server forbids anything else.
TEST(Assets, ThePageNeedsNothingFromElsewhereAndNothingInline) {
  for (const Asset& asset : all_assets()) {
    std::string text(asset.bytes);
    constexpr std::string_view kNamespace = "http://www.w3.org/2000/svg";  // a name, not fetched
    if (const auto at = text.find(kNamespace); at != text.npos) text.erase(at, kNamespace.size());
    for (const char* word : {"http:", "https:", "<style", "style=", "onclick=", "eval("})
      EXPECT_THAT(text, testing::Not(testing::HasSubstr(word))) << asset.path;
  }
  const std::string page(find_asset("/")->bytes);
  EXPECT_THAT(page, testing::HasSubstr("<script src=\"/status.js\" type=\"module\"></script>"));
}

}  // namespace
}  // namespace tautmark
