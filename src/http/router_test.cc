// SPDX-License-Identifier: Apache-2.0
#include "http/router.h"

#include <gtest/gtest.h>

#include <stdexcept>

using namespace tautmark;

namespace {

Route route(std::string_view method, std::string_view pattern) {
  return {.method = method, .pattern = std::string(pattern), .handle = [](Request&) {
            return Response{};
          }};
}

std::string_view pattern_of(const Router::Found& found) {
  return found.route ? found.route->pattern : std::string_view();
}

TEST(Router, FindsTheMostExactPattern) {
  const Router router({route("GET", "/"), route("GET", "/a/{x}/{y}"), route("GET", "/a/{x}/c"),
                       route("GET", "/a/b/{y}"), route("GET", "/{z}"), route("GET", "/a")});
  EXPECT_EQ(pattern_of(router.find("GET", "/")), "/");
  EXPECT_EQ(pattern_of(router.find("GET", "/a")), "/a");
  EXPECT_EQ(pattern_of(router.find("GET", "/b")), "/{z}");
  EXPECT_EQ(pattern_of(router.find("GET", "/a/b/c")), "/a/b/{y}");
  EXPECT_EQ(pattern_of(router.find("GET", "/a/x/c")), "/a/{x}/c");
  const auto found = router.find("GET", "/a/x y/z");
  EXPECT_EQ(pattern_of(found), "/a/{x}/{y}");
  EXPECT_EQ(found.parts.at("x"), "x y");
  EXPECT_EQ(found.parts.at("y"), "z");
}

TEST(Router, TellsNothingThereFromNotThisMethod) {
  const Router router({route("GET", "/a/{x}"), route("PUT", "/a/{y}"), route("POST", "/a/b")});
  for (const char* path : {"/a", "/a/", "/a/b/", "/a/b/c", "/A/b", "/ab", "a/b", "*"}) {
    const auto found = router.find("GET", path);
    EXPECT_FALSE(found.route) << path;
    EXPECT_EQ(found.allow, "") << path;
  }
  EXPECT_EQ(router.find("DELETE", "/a/x").allow, "GET, HEAD, PUT");
  EXPECT_EQ(router.find("OPTIONS", "/a/b").allow, "POST");
  EXPECT_EQ(router.find("GET", "/a/b").allow, "POST");  // not the case named "b"
  EXPECT_EQ(pattern_of(router.find("HEAD", "/a/x")), "/a/{x}");
  EXPECT_EQ(pattern_of(router.find("PUT", "/a/x")), "/a/{y}");
  EXPECT_FALSE(router.find("get", "/a/x").route);
}

TEST(Router, WrongRoutesDoNotStart) {
  EXPECT_THROW(Router({route("GET", "a")}), std::logic_error);
  EXPECT_THROW(Router({route("GET", "/a/")}), std::logic_error);
  EXPECT_THROW(Router({route("GET", "/{}")}), std::logic_error);
  EXPECT_THROW(Router({route("GET", "/{x")}), std::logic_error);
  EXPECT_THROW(Router({route("GET", "/{x}/{x}")}), std::logic_error);
  EXPECT_THROW(Router({route("GET", "/{x}"), route("GET", "/{y}")}), std::logic_error);
  EXPECT_THROW(Router({Route{.method = "GET", .pattern = "/"}}), std::logic_error);
}

}  // namespace
