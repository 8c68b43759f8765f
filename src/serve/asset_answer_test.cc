// SPDX-License-Identifier: Apache-2.0
#include "serve/asset_answer.h"

#include <gtest/gtest.h>

#include <fstream>

#include "serve/test_program.h"
#include "support/temp_folder.h"

namespace tautmark {
namespace {

const std::string kText(5000, 'a');
const Asset kAsset{"/code/case-B7x_9aQk.js", "text/javascript; charset=utf-8", "\"0123\"", kText};

std::string header(const Response& response, std::string_view name) {
  for (const auto& [key, value] : response.headers)
    if (key == name) return value;
  return {};
}

Response asked(const Asset& asset, std::map<std::string, std::string> headers) {
  Request request;
  request.headers = std::move(headers);
  return asset_handler(asset)(request);
}

// RFC 9110, section 12.5.3.
TEST(AssetAnswer, HearsWhatTheBrowserTakes) {
  for (const char* said : {"gzip", "gzip, deflate, br", "br;q=1.0, GZIP;q=0.8", "deflate,gzip"})
    EXPECT_TRUE(accepts_gzip(said)) << said;
  for (const char* said :
       {"", "identity", "br", "gzip;q=0", "gzip; q=0.000, br", "gzipped", "*;q=0"})
    EXPECT_FALSE(accepts_gzip(said)) << said;
}

TEST(AssetAnswer, OnlyANameWithAHashIsKeptForLong) {
  EXPECT_TRUE(is_named_by_content("/code/case-B7x_9aQk.js"));
  EXPECT_TRUE(is_named_by_content("/code/drive-editor-Ab-d_f0h.js"));
  for (const char* path :
       {"/index.html", "/code/index.js", "/code/index.css", "/code/-B7x_9aQk.js", "/sw.js",
        "/pages-B7x_9aQk.js", "/code/case-B7x_9aQ.js", "/code/new-notebook.js"})
    EXPECT_FALSE(is_named_by_content(path)) << path;
  EXPECT_EQ(header(asked(kAsset, {}), "Cache-Control"), "max-age=31536000, immutable");
  Asset page = kAsset;
  page.path = "/index.html";
  EXPECT_EQ(header(asked(page, {}), "Cache-Control"), "no-cache");
}

TEST(AssetAnswer, PackedAndPlainAreTwoFormsWithTagsOfTheirOwn) {
  const Response plain = asked(kAsset, {}), small = asked(kAsset, {{"accept-encoding", "gzip"}});
  EXPECT_EQ(std::get<std::string>(plain.body), kText);
  EXPECT_EQ(header(plain, "Content-Encoding"), "");
  EXPECT_EQ(header(small, "Content-Encoding"), "gzip");
  EXPECT_EQ(header(plain, "Vary"), "Accept-Encoding");
  EXPECT_EQ(header(small, "Vary"), "Accept-Encoding");
  EXPECT_EQ(header(plain, "ETag"), "\"0123\"");
  EXPECT_EQ(header(small, "ETag"), "\"0123-gz\"");
  EXPECT_EQ(asked(kAsset, {{"if-none-match", "\"0123\""}}).status, 304);
  EXPECT_EQ(asked(kAsset, {{"if-none-match", "\"0123-gz\""}}).status, 200);
  EXPECT_EQ(asked(kAsset, {{"accept-encoding", "gzip"}, {"if-none-match", "\"0123-gz\""}}).status,
            304);
}

// gzip(1) is the witness.
TEST(AssetAnswer, AnotherProgramUnpacksIt) {
  if (!test::has_program("gzip")) GTEST_SKIP() << "no gzip here";
  const test::TempFolder folder;
  std::string bytes = "Kettenspanner\n";
  for (int i = 0; i < 100'000; ++i) bytes += static_cast<char>(i % 251 * (i % 251) % 251);
  std::ofstream(folder.path() / "a.gz", std::ios::binary) << gzip_of(bytes);
  EXPECT_EQ(test::output_of("gzip -dc " + (folder.path() / "a.gz").string()), bytes);
}

TEST(AssetAnswer, WhatDoesNotGetSmallerGoesAsItIs) {
  Asset tiny = kAsset;
  tiny.bytes = "a";
  const Response response = asked(tiny, {{"accept-encoding", "gzip"}});
  EXPECT_EQ(std::get<std::string>(response.body), "a");
  EXPECT_EQ(header(response, "Vary"), "");
}

}  // namespace
}  // namespace tautmark
