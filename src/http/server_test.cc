// SPDX-License-Identifier: Apache-2.0
#include <gtest/gtest.h>

#include <atomic>
#include <mutex>

#include "http/test_client.h"

using namespace tautmark;
using namespace tautmark::test;

namespace {

TEST(Server, AnswersWithWhatTheHandlerSays) {
  RunningServer running(
      {{.method = "GET", .pattern = "/api/cases/{case}", .handle = [](Request& request) {
          EXPECT_EQ(request.method, "GET");
          EXPECT_EQ(request.query["q"], "a b");
          EXPECT_EQ(request.cookie("seat"), "7");
          EXPECT_EQ(request.peer, "127.0.0.1");
          EXPECT_FALSE(request.over_tls);
          auto response = json_response(request.parts["case"], 201);
          response.headers.emplace_back("X-Own", "yes");
          return response;
        }}});
  const Reply reply =
      running.ask(get("/api/cases/x%20y?q=a+b", "Cookie: a=1; seat=7\r\nX-Other: 1\r\n"));
  EXPECT_EQ(reply.status, 201);
  EXPECT_EQ(reply.body, "x y");
  EXPECT_EQ(reply.headers.at("content-type"), "application/json");
  EXPECT_EQ(reply.headers.at("x-own"), "yes");
}

TEST(Server, EveryAnswerCarriesTheSecurityHeaders) {
  RunningServer running({ping(), echo()});
  for (const std::string& request :
       {get("/api/ping"), get("/none"), std::string("nonsense\r\n\r\n"), post("/api/ping", "1"),
        std::string("GET /api/ping HTTP/1.1\r\nHost: foreign.example\r\n\r\n")}) {
    const Reply reply = running.ask(request);
    EXPECT_EQ(reply.headers.at("content-security-policy"),
              "default-src 'self'; style-src 'self' 'unsafe-inline'; img-src 'self' blob: data:; "
              "frame-ancestors 'none'");
    EXPECT_EQ(reply.headers.at("x-content-type-options"), "nosniff");
    EXPECT_EQ(reply.headers.at("referrer-policy"), "no-referrer");
    EXPECT_EQ(reply.headers.at("cross-origin-opener-policy"), "same-origin");
    EXPECT_EQ(reply.headers.at("cross-origin-resource-policy"), "same-origin");
    EXPECT_EQ(reply.head.find("Access-Control"), std::string::npos);
    if (request != get("/none")) {
      EXPECT_EQ(reply.headers.at("cache-control"), "no-store");
    }
  }
}

TEST(Server, KeepsTheConnectionAndTakesRequestsSentAtOnce) {
  RunningServer running({ping(), ping_slow()});
  auto client = running.client();
  for (int i = 0; i < 3; ++i) EXPECT_EQ(client.ask(get("/api/ping")).status, 200);
  client.send(get("/api/slow") + get("/api/ping") + "\r\n" + get("/none") +
              get("/api/ping", "Connection: close\r\n") + get("/api/ping"));
  EXPECT_EQ(client.reply().body, "\"slow\"");
  EXPECT_EQ(client.reply().body, "\"pong\"");
  EXPECT_EQ(client.reply().status, 404);
  const Reply last = client.reply();
  EXPECT_EQ(last.body, "\"pong\"");
  EXPECT_EQ(last.headers.at("connection"), "close");
  EXPECT_TRUE(client.is_closed());
  EXPECT_EQ(client.received, "");
}

TEST(Server, HeadIsGetWithoutABody) {
  RunningServer running({ping()});
  auto client = running.client();
  const Reply head = client.ask("HEAD /api/ping HTTP/1.1\r\nHost: localhost\r\n\r\n");
  EXPECT_EQ(head.status, 200);
  EXPECT_EQ(head.headers.at("content-length"), "6");
  EXPECT_EQ(client.ask(get("/api/ping")).body, "\"pong\"");  // nothing stood between
}

TEST(Server, SaysWhichMethodsThereAre) {
  RunningServer running({ping(), echo()});
  EXPECT_EQ(running.ask(get("/api/none")).status, 404);
  const Reply wrong = running.ask(post("/api/ping", "1"));
  EXPECT_EQ(wrong.status, 405);
  EXPECT_EQ(wrong.headers.at("allow"), "GET, HEAD");
  for (const std::string target : {"/api/echo", "*"}) {
    const Reply options =
        running.ask("OPTIONS " + target +
                    " HTTP/1.1\r\nHost: localhost\r\nOrigin: http://foreign.example\r\n\r\n");
    EXPECT_EQ(options.status, 405);
    EXPECT_TRUE(options.headers.contains("allow"));
  }
}

TEST(Server, OldClientsGetAnAnswerAndAnEnd) {
  RunningServer running({ping()});
  auto client = running.client();
  const Reply reply = client.ask("GET /api/ping HTTP/1.0\r\nHost: localhost\r\n\r\n");
  EXPECT_EQ(reply.body, "\"pong\"");
  EXPECT_TRUE(client.is_closed());
}

TEST(Server, RefusesForeignNamesAndPages) {
  ServerOptions options;
  options.host_names = {"shop.local"};
  RunningServer running(options, {ping(), echo()});
  const auto host = [&](const std::string& name) {
    return running.ask("GET /api/ping HTTP/1.1\r\nHost: " + name + "\r\n\r\n").status;
  };
  EXPECT_EQ(host("127.0.0.1:80"), 200);
  EXPECT_EQ(host("[::1]"), 200);
  EXPECT_EQ(host("SHOP.local:8443"), 200);
  EXPECT_EQ(host("localhost.foreign.example"), 421);
  EXPECT_EQ(host(""), 421);
  EXPECT_EQ(running.ask(post("/api/echo", "1", "Origin: http://localhost\r\n")).status, 200);
  EXPECT_EQ(running.ask(post("/api/echo", "1", "Origin: http://foreign.example\r\n")).status, 403);
  EXPECT_EQ(running.ask(post("/api/echo", "1", "Origin: null\r\n")).status, 403);
  EXPECT_EQ(running.ask(post("/api/echo", "1", "Sec-Fetch-Site: same-site\r\n")).status, 403);
  EXPECT_EQ(running.ask(get("/api/ping", "Sec-Fetch-Site: cross-site\r\n")).status, 403);
  EXPECT_EQ(running
                .ask("POST /api/echo HTTP/1.1\r\nHost: localhost\r\nContent-Type: text/plain\r\n"
                     "Content-Length: 1\r\n\r\n1")
                .status,
            415);
}

TEST(Server, AHandlerThatThrowsGivesNothingAway) {
  std::mutex mutex;
  std::string logged;
  ServerOptions options;
  options.log = [&](const std::string& sentence) {
    const std::scoped_lock lock(mutex);
    logged += sentence;
  };
  const auto throwing = [](const char* pattern, Work work) {
    return Route{.method = "GET",
                 .pattern = pattern,
                 .handle = [](Request&) -> Response { throw std::runtime_error("secret thing"); },
                 .work = work,
                 .needs_role = -1};
  };
  RunningServer running(
      options, {ping(), throwing("/pool", Work::on_pool), throwing("/once", Work::at_once)});
  auto client = running.client();
  for (const char* target : {"/pool", "/once"}) {
    const Reply reply = client.ask(get(target));
    EXPECT_EQ(reply.status, 500);
    EXPECT_EQ(reply.headers.at("content-type"), "application/problem+json");
    EXPECT_EQ(reply.body.find("secret"), std::string::npos);
    const std::scoped_lock lock(mutex);
    EXPECT_NE(std::exchange(logged, "").find("secret thing"), std::string::npos);
  }
  EXPECT_EQ(client.ask(get("/api/ping")).status, 200);
}

TEST(Server, TheGateStopsARequestBeforeItsBody) {
  std::atomic<int> asked = 0, handled = 0;
  ServerOptions options;
  options.gate = [&](Request& request, const Route& route) -> std::optional<Response> {
    ++asked;
    if (route.needs_role > 0 && request.header("x-seat").empty())
      return problem(401, "Who?", "Log in first.");
    request.seat = request.header("x-seat");
    return std::nullopt;
  };
  Route write = echo();
  write.needs_role = 1;
  write.handle = [&](Request& request) {
    ++handled;
    return json_response(request.seat + request.body);
  };
  RunningServer running(options, {ping(), write});
  EXPECT_EQ(running.ask(get("/api/ping")).status, 200);
  EXPECT_EQ(asked, 0);  // at once, and for everybody
  EXPECT_EQ(running.ask(post("/api/echo", "1")).status, 401);
  EXPECT_EQ(running.ask(post("/api/echo", "1", "X-Seat: ann \r\n")).body, "ann1");

  // The body is not here yet: the gate's answer comes without it, and one ask is enough.
  auto client = running.client();
  const std::string whole = post("/api/echo", "12345", "X-Seat: ann\r\n");
  asked = handled = 0;
  client.send(whole.substr(0, whole.size() - 3));
  while (asked == 0) std::this_thread::yield();
  client.send(whole.substr(whole.size() - 3));
  EXPECT_EQ(client.reply().body, "ann12345");
  EXPECT_EQ(asked, 1);
  const std::string foreign = post("/api/echo", "12345");
  EXPECT_EQ(client.ask(foreign.substr(0, foreign.size() - 3)).status, 401);
  EXPECT_TRUE(client.is_closed());
  EXPECT_EQ(handled, 1);
}

TEST(Server, SaysContinueWhenTheBodyIsWanted) {
  RunningServer running({echo()});
  auto client = running.client();
  const std::string whole = post("/api/echo", "12345", "Expect: 100-continue\r\n");
  const std::string head = whole.substr(0, whole.size() - 5);
  EXPECT_EQ(client.ask(head).status, 100);
  EXPECT_EQ(client.ask("12345").body, "12345");
  EXPECT_EQ(client.ask(whole).body, "12345");  // did not wait
  EXPECT_EQ(running.ask(post("/api/none", "12345", "Expect: 100-continue\r\n")).status, 404);
  EXPECT_EQ(running.ask(post("/api/echo", "1", "Expect: tea\r\n")).status, 417);
}

TEST(Server, SaysWhyItCannotStart) {
  RunningServer running({ping()});
  ServerOptions options;
  options.port = running.server.port();
  const auto why = [](const ServerOptions& wrong) {
    try {
      Server server(wrong, {});
    } catch (const std::runtime_error& error) {
      return std::string(error.what());
    }
    return std::string();
  };
  EXPECT_NE(why(options).find("in use by another program"), std::string::npos) << why(options);
  EXPECT_NE(why({.address = "here"}).find("here"), std::string::npos);
  EXPECT_NE(why({.tls = TlsFiles{"/none.pem", "/none.pem"}}).find("/none.pem"), std::string::npos);
}

}  // namespace
