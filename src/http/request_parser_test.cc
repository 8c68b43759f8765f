// SPDX-License-Identifier: Apache-2.0
#include "http/request_parser.h"

#include <gtest/gtest.h>

#include "http/response_head.h"

using namespace tautmark;

namespace {

int status_of(std::string_view bytes) {
  const auto parsed = parse_request_bytes(bytes, 100, 1000);
  return parsed ? 0 : parsed.error();
}

std::string with(std::string_view headers, std::string_view body = "") {
  return "POST /x HTTP/1.1\r\nHost: localhost\r\n" + std::string(headers) + "\r\n" +
         std::string(body);
}

TEST(RequestParser, TheSameHoweverTheBytesArrive) {
  const std::string bytes =
      with("Transfer-Encoding: chunked\r\nCookie: a=1\r\nCookie: b=2\r\nX: 1\r\nX: 2\r\n",
           "3;a=b\r\nabc\r\n0004\r\nd\r\nf\r\n0\r\nX: trailer\r\n\r\nNEXT");
  for (std::size_t piece = 1; piece < bytes.size() + 2; ++piece) {
    const auto request = parse_request_bytes(bytes, 7, piece);
    ASSERT_TRUE(request) << piece << ": " << request.error();
    EXPECT_EQ(request->method, "POST");
    EXPECT_EQ(request->path, "/x");
    EXPECT_EQ(request->body, "abcd\r\nf");
    EXPECT_EQ(request->header("cookie"), "a=1; b=2");
    EXPECT_EQ(request->header("x"), "1, 2");  // the trailer is not among them
    EXPECT_EQ(parse_request_bytes(bytes, 6, piece).error(), 413);
  }
}

TEST(RequestParser, WhatIsNotHttpIs400) {
  using namespace std::string_literals;
  for (const std::string& bytes : {"GET /\r\n\r\n"s,
                                   "GET / HTTP/1.1\nHost: localhost\n\n"s,
                                   " GET / HTTP/1.1\r\n\r\n"s,
                                   "G\0T / HTTP/1.1\r\n\r\n"s,
                                   "G@T / HTTP/1.1\r\nHost: x\r\n\r\n"s,
                                   "GET  / HTTP/1.1\r\n\r\n"s,
                                   "GET / HTTP/1.1 x\r\nHost: x\r\n\r\n"s,
                                   "GET / HTTQ/1.1\r\nHost: x\r\n\r\n"s,
                                   "GET x HTTP/1.1\r\nHost: x\r\n\r\n"s,
                                   "GET /../x HTTP/1.1\r\nHost: x\r\n\r\n"s,
                                   "CONNECT x:1 HTTP/1.1\r\nHost: x\r\n\r\n"s,
                                   "GET http://x/ HTTP/1.1\r\nHost: x\r\n\r\n"s,
                                   "GET / HTTP/1.1\r\n\r\n"s,  // no Host
                                   "\x16\x03\x01\x02"s,
                                   "GET / HTTP/1.1\r\nHost: x\r\nA: b\r\n c\r\n\r\n"s,
                                   "GET / HTTP/1.1\r\nHost: x\r\nA b\r\n\r\n"s,
                                   "GET / HTTP/1.1\r\nHost: x\r\nA : b\r\n\r\n"s,
                                   "GET / HTTP/1.1\r\nHost: x\r\n: b\r\n\r\n"s,
                                   "GET / HTTP/1.1\r\nHost: x\r\nA: \0\r\n\r\n"s,
                                   "GET / HTTP/1.1\r\nHost: x\r\nA: b\rc\r\n\r\n"s,
                                   "GET / HTTP/1.1\r\nHost: x\r\nA: \x01\r\n\r\n"s})
    EXPECT_EQ(status_of(bytes) == 505 ? 400 : status_of(bytes), 400) << bytes;
  EXPECT_EQ(status_of("GET / HTTP/2.0\r\nHost: x\r\n\r\n"), 505);
  EXPECT_EQ(status_of("GET / HTTP/1.1\r\nHost: x\r\n"), 408);
  EXPECT_EQ(status_of(""), 408);
}

TEST(RequestParser, TwoWaysToEndABodyAre400) {
  for (const char* headers : {"Content-Length: 1\r\nContent-Length: 1\r\n",
                              "Content-Length: 1\r\nContent-Length: 2\r\n",
                              "Content-Length: 1, 1\r\n",
                              "Content-Length: -1\r\n",
                              "Content-Length: +1\r\n",
                              "Content-Length: 0x1\r\n",
                              "Content-Length: 1 1\r\n",
                              "Content-Length:\r\n",
                              "Content-Length: 99999999999999999999999\r\n",
                              "Content-Length: 18446744073709551617\r\n",
                              "Content-Length: 1\r\nTransfer-Encoding: chunked\r\n",
                              "Transfer-Encoding: chunked\r\nContent-Length: 1\r\n",
                              "Transfer-Encoding: gzip, chunked\r\n",
                              "Transfer-Encoding: chunked, gzip\r\n",
                              "Transfer-Encoding: chunked\r\nTransfer-Encoding: chunked\r\n",
                              "Transfer-Encoding: identity\r\n",
                              "Transfer-Encoding: xchunked\r\n",
                              "Transfer-Encoding : chunked\r\n",
                              "Transfer-Encoding: \r\n",
                              "Host: other\r\n",
                              "Content-Type: a/b\r\nContent-Type: c/d\r\n",
                              "Origin: a\r\nOrigin: b\r\n"})
    EXPECT_EQ(status_of(with(headers, "0\r\n\r\n")), 400) << headers;
  EXPECT_EQ(status_of("POST /x HTTP/1.0\r\nHost: x\r\nTransfer-Encoding: chunked\r\n\r\n0\r\n\r\n"),
            400);
}

TEST(RequestParser, WrongChunksAreRefused) {
  const auto chunked = [](std::string_view body) {
    return status_of(with("Transfer-Encoding: chunked\r\n", body));
  };
  EXPECT_EQ(chunked("1\r\na\r\n0\r\n\r\n"), 0);
  EXPECT_EQ(chunked("1\r\na\r\n0\r\n"), 408);
  for (const char* body :
       {"\r\n", "-1\r\na\r\n", "+1\r\na\r\n", "0x1\r\na\r\n\r\n", "x\r\n", "1\r\nab\r\n0\r\n\r\n",
        "1 \x01\r\na\r\n", "1;\x01\r\na\r\n", "1\ra\r\n", "10000000000000001\r\n",
        "0\r\nnonsense\r\n\r\n", "0\r\nContent-Length: 5\r\n\r\n"})
    EXPECT_EQ(chunked(body), 400) << body;
  EXPECT_EQ(chunked("65\r\n"), 413);
  EXPECT_EQ(chunked("ffffffffffffffff\r\n"), 413);
  EXPECT_EQ(chunked("60\r\n" + std::string(96, 'a') + "\r\n5\r\n"), 413);  // together too much
  EXPECT_EQ(chunked("1;" + std::string(20000, 'a')), 431);
  EXPECT_EQ(chunked("0\r\nX: " + std::string(20000, 'a')), 431);
}

TEST(RequestParser, LimitsOfTheHead) {
  const std::string long_target(kMostTarget - 1, 'a');
  EXPECT_EQ(status_of("GET /" + long_target + " HTTP/1.1\r\nHost: x\r\n\r\n"), 0);
  EXPECT_EQ(status_of("GET /a" + long_target + " HTTP/1.1\r\nHost: x\r\n\r\n"), 414);
  EXPECT_EQ(status_of("GET /" + std::string(5000, 'a')), 414);
  const std::string start = "GET / HTTP/1.1\r\nHost: x\r\nA: ";
  EXPECT_EQ(status_of(start + std::string(kMostHead - start.size() - 4, 'a') + "\r\n\r\n"), 0);
  EXPECT_EQ(status_of(start + std::string(kMostHead - start.size() - 3, 'a') + "\r\n\r\n"), 431);
  EXPECT_EQ(status_of(start + std::string(20000, 'a')), 431);
}

TEST(ResponseHead, AHandlerCannotBreakIt) {
  Response response;
  response.status = 404;
  response.headers = {{"X-Fine", "1"},
                      {"X-Split", "1\r\nSet-Cookie: stolen"},
                      {"X Name", "1"},
                      {"Content-Length", "7"},
                      {"Transfer-Encoding", "chunked"},
                      {"Content-Security-Policy", "default-src *"},
                      {"Access-Control-Allow-Origin", "*"},
                      {"Cache-Control", "max-age=60"}};
  // The date is the example of RFC 9110, 5.6.7.
  EXPECT_EQ(
      response_head(response, {.length = 3, .now = 784111777}),
      "HTTP/1.1 404 Not Found\r\nDate: Sun, 06 Nov 1994 08:49:37 GMT\r\n"
      "Content-Type: application/json\r\nContent-Length: 3\r\nX-Fine: 1\r\n"
      "Cache-Control: max-age=60\r\n"
      "Content-Security-Policy: default-src 'self'; style-src 'self' 'unsafe-inline'; "
      "img-src 'self' blob: data:; frame-ancestors 'none'\r\nX-Content-Type-Options: nosniff\r\n"
      "Referrer-Policy: no-referrer\r\nCross-Origin-Opener-Policy: same-origin\r\n"
      "Cross-Origin-Resource-Policy: same-origin\r\n\r\n");
}

}  // namespace
