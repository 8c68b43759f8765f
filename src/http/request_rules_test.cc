// SPDX-License-Identifier: Apache-2.0
#include "http/request_rules.h"

#include <gtest/gtest.h>

using namespace tautmark;

namespace {

const std::vector<std::string> kNames{"Shop.local", "192.168.1.5"};

TEST(RequestRules, KnowsItsOwnNames) {
  for (const char* host : {"127.0.0.1", "127.0.0.1:8080", "localhost", "LOCALHOST:1", "[::1]",
                           "[::1]:65535", "shop.local", "SHOP.LOCAL:443", "192.168.1.5:8443"})
    EXPECT_TRUE(host_is_known(host, kNames)) << host;
  for (const char* host : {"",
                           ":80",
                           "127.0.0.1.",
                           "127.0.0.2",
                           "localhost.",
                           "localhost:",
                           "localhost:8o",
                           "localhost:-1",
                           "localhost:123456",
                           "localhost:80:80",
                           "localhost@foreign.example",
                           "[::1",
                           "[::1]x",
                           "::1",
                           "[::2]",
                           "127.0.0.1.foreign.example",
                           "foreign.example",
                           "localhost foreign.example",
                           "localhost,foreign.example",
                           "2130706433",
                           "0x7f.1"})
    EXPECT_FALSE(host_is_known(host, kNames)) << host;
}

TEST(RequestRules, KnowsItsOwnPages) {
  EXPECT_TRUE(origin_is_ours("http://localhost:8080", "localhost:8080", false));
  EXPECT_TRUE(origin_is_ours("https://shop.local", "SHOP.local:443", true));
  EXPECT_TRUE(origin_is_ours("http://[::1]:1", "[::1]:1", false));
  EXPECT_FALSE(origin_is_ours("http://localhost:8080", "localhost:8081", false));
  EXPECT_FALSE(origin_is_ours("http://localhost:8080", "127.0.0.1:8080", false));
  EXPECT_FALSE(origin_is_ours("http://localhost", "localhost", true));
  EXPECT_FALSE(origin_is_ours("https://localhost", "localhost", false));
  EXPECT_FALSE(origin_is_ours("http://localhost/x", "localhost", false));
  EXPECT_FALSE(origin_is_ours("http://localhost.foreign.example", "localhost", false));
  EXPECT_FALSE(origin_is_ours("null", "localhost", false));
  EXPECT_FALSE(origin_is_ours("", "localhost", false));
}

// RFC 3986, 3.2.2: in Host an IPv6 address stands in brackets; a list of addresses has none.
TEST(RequestRules, KnowsIPv6AddressesWithAndWithoutBrackets) {
  const std::vector<std::string> names{"fd00::2", "[FD00::3]", "192.168.20.31"};
  for (const char* host : {"[fd00::2]:8604", "[fd00::2]", "[FD00::2]:1", "[fd00::3]:8604"})
    EXPECT_TRUE(host_is_known(host, names)) << host;
  for (const char* host : {"[fd00::4]:8604", "fd00::2", "[fd00::2", "[192.168.20.31]x", "[]"})
    EXPECT_FALSE(host_is_known(host, names)) << host;
}

TEST(RequestRules, TellsMediaTypes) {
  EXPECT_TRUE(is_media_type("application/json", "application/json"));
  EXPECT_TRUE(is_media_type("Application/JSON ; charset=utf-8", "application/json"));
  EXPECT_FALSE(is_media_type("application/jsonx", "application/json"));
  EXPECT_FALSE(is_media_type("text/plain; application/json", "application/json"));
  EXPECT_FALSE(is_media_type("", "application/json"));
}

int refused(std::string method, std::map<std::string, std::string> headers,
            std::string path = "/api/x") {
  Request request;
  request.method = std::move(method);
  request.headers = std::move(headers);
  request.path = std::move(path);
  request.headers["host"] = "localhost";
  const auto answer = refuse_sender(request, Route{});
  return answer ? answer->status : 0;
}

// W3C Fetch Metadata: what a browser says of a link that is followed, an image, a frame, a script.
TEST(RequestRules, LinksFromElsewhereOpenPagesAndNothingElse) {
  using Headers = std::map<std::string, std::string>;
  const Headers link{{"sec-fetch-site", "cross-site"},
                     {"sec-fetch-mode", "navigate"},
                     {"sec-fetch-dest", "document"}};
  EXPECT_EQ(refused("GET", link, "/"), 0);
  EXPECT_EQ(refused("GET", link, "/pair"), 0);
  for (const char* path : {"/api", "/api/cases", "/api/"})
    EXPECT_EQ(refused("GET", link, path), 403) << path;
  EXPECT_EQ(refused("POST", link, "/"), 403);
  EXPECT_EQ(refused("HEAD", link, "/"), 403);
  for (const auto& [name, value] : Headers{
           {"sec-fetch-dest", "iframe"}, {"sec-fetch-dest", ""}, {"sec-fetch-mode", "no-cors"}}) {
    Headers other = link;
    other[name] = value;
    EXPECT_EQ(refused("GET", other, "/"), 403) << name << value;
  }
}

TEST(RequestRules, OtherSitesMayNotSend) {
  const auto json = std::pair<const std::string, std::string>("content-type", "application/json");
  EXPECT_EQ(refused("GET", {}), 0);
  EXPECT_EQ(refused("GET", {{"sec-fetch-site", "none"}}), 0);
  EXPECT_EQ(refused("GET", {{"sec-fetch-site", "same-site"}}), 0);
  EXPECT_EQ(refused("GET", {{"sec-fetch-site", "cross-site"}}), 403);
  EXPECT_EQ(refused("POST", {json}), 0);
  EXPECT_EQ(refused("POST", {json, {"sec-fetch-site", "same-origin"}}), 0);
  EXPECT_EQ(refused("POST", {json, {"sec-fetch-site", "same-site"}}), 403);
  EXPECT_EQ(refused("POST", {json, {"origin", "http://localhost"}}), 0);
  EXPECT_EQ(refused("POST", {json, {"origin", ""}}), 403);
  EXPECT_EQ(refused("DELETE", {json, {"origin", "http://foreign.example"}}), 403);
  EXPECT_EQ(refused("DELETE", {}), 415);
  EXPECT_EQ(refused("POST", {{"content-type", "application/x-www-form-urlencoded"}}), 415);
  EXPECT_EQ(refused("POST", {json, {"content-encoding", "gzip"}}), 415);
}

}  // namespace
