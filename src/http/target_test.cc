// SPDX-License-Identifier: Apache-2.0
#include "http/target.h"

#include <gtest/gtest.h>

using namespace tautmark;

namespace {

TEST(Target, IsDecodedOnce) {
  const auto target = read_target("/api/cases/x%20y%2B+?q=a+b%2B&empty&last=1&last=%C3%A4&");
  ASSERT_TRUE(target);
  EXPECT_EQ(target->path, "/api/cases/x y++");
  EXPECT_EQ(target->query.size(), 3u);
  EXPECT_EQ(target->query.at("q"), "a b+");
  EXPECT_EQ(target->query.at("empty"), "");
  EXPECT_EQ(target->query.at("last"), "\u00e4");
  EXPECT_EQ(read_target("/%252e%252e/x")->path, "/%2e%2e/x");
  EXPECT_EQ(read_target("/")->path, "/");
  EXPECT_EQ(read_target("/a..b/.c/d.")->path, "/a..b/.c/d.");
  EXPECT_EQ(read_target("/x?path=../%2F..//")->query.at("path"),
            "../"
            "/..//");
}

TEST(Target, WhatLeadsElsewhereIsRefused) {
  for (const char* target : {"",       "*",      "x",         "http://localhost/",
                             "/..",    "/../x",  "/x/..",     "/x/../y",
                             "/x/.",   "/./x",   "/%2e%2e/x", "/.%2E/x",
                             "/x/%2e", "//",     "/x//y",     "//foreign.example/x",
                             "/x%2Fy", "/x%2fy", "/%2f",      "/x\\y",
                             "/x%5Cy", "/..%5cx"})
    EXPECT_FALSE(read_target(target)) << target;
}

TEST(Target, WhatIsNoTextIsRefused) {
  for (const char* target :
       {"/%",      "/%4",     "/%zz", "/%4g",     "/x%00",      "/%0d%0a",  "/%7f",
        "/%1b[0m", "/%c2%85", "/%ff", "/%c0%af",  "/%ed%a0%80", "/x y",     "/\u00e4",
        "/x#y",    "/\x7f",   "/\t",  "/x?q=%00", "/x?%0a=1",   "/x?q=%ff", "/x?q=%"})
    EXPECT_FALSE(read_target(target)) << target;
  EXPECT_FALSE(read_target(std::string_view("/\0", 2)));
}

}  // namespace
