// SPDX-License-Identifier: Apache-2.0
// What is too large, too slow, too many or no HTTP at all, over real sockets.
#include <gtest/gtest.h>
#include <sys/resource.h>

#include "http/head_scan.h"
#include "http/test_client.h"

using namespace tautmark;
using namespace tautmark::test;
using Clock = std::chrono::steady_clock;

namespace {

double seconds_since(Clock::time_point start) {
  return std::chrono::duration<double>(Clock::now() - start).count();
}

ServerOptions quick() {
  ServerOptions options;
  options.header_seconds = options.body_seconds = 1;
  return options;
}

TEST(ServerLimits, TooLargeIsAnsweredAndClosed) {
  RunningServer running({ping(), echo(1000)});
  const auto refused = [&](const std::string& bytes) {
    auto client = running.client();
    const Reply reply = client.ask(bytes);
    EXPECT_TRUE(reply.whole);
    EXPECT_TRUE(client.is_closed());
    return reply.status;
  };
  EXPECT_EQ(refused(get("/api/ping", "A: " + std::string(kMostHead, 'a') + "\r\n")), 431);
  EXPECT_EQ(refused(get("/" + std::string(kMostTarget, 'a'))), 414);
  EXPECT_EQ(refused("GET /" + std::string(kMostTarget * 2, 'a')), 414);
  EXPECT_EQ(refused(post("/api/echo", std::string(1001, 'a'))), 413);
  EXPECT_EQ(refused(post("/api/echo", std::string(4'000'000, 'a'))), 413);
  EXPECT_EQ(refused(get("/api/ping", "Content-Length: 1\r\n") + "x"), 413);  // takes no body
  EXPECT_EQ(running.ask(post("/api/echo", std::string(1000, 'a'))).body, std::string(1000, 'a'));

  const std::string chunked =
      "POST /api/echo HTTP/1.1\r\nHost: localhost\r\nContent-Type: application/json\r\n"
      "Transfer-Encoding: chunked\r\n\r\n";
  EXPECT_EQ(running.ask(chunked + "2\r\nab\r\n1\r\nc\r\n0\r\n\r\n").body, "abc");
  EXPECT_EQ(refused(chunked + "3e9\r\n" + std::string(1001, 'a')), 413);
  EXPECT_EQ(refused(chunked + "3e8\r\n" + std::string(1000, 'a') + "\r\n1\r\n"), 413);
  EXPECT_EQ(refused(chunked + "ffffffffffffffff\r\n"), 413);
  EXPECT_EQ(refused(chunked + "-1\r\na\r\n0\r\n\r\n"), 400);
  EXPECT_EQ(refused(chunked + "fffffffffffffffff\r\n"), 400);
}

TEST(ServerLimits, MalformedIs400AndClosed) {
  using namespace std::string_literals;
  RunningServer running({ping(), echo()});
  const std::string smuggled = "GET /api/ping HTTP/1.1\r\nHost: localhost\r\n\r\n";
  for (const std::string& bytes :
       {"GET /api/ping\r\n\r\n"s, "G(T /api/ping HTTP/1.1\r\nHost: localhost\r\n\r\n"s,
        "GET /api/ping HTTP/1.1\nHost: localhost\n\n"s, "\x16\x03\x01\x02\x00\x01\x00"s,
        "GET /api/ping HTTP/1.1\r\nHost: local\0host\r\n\r\n"s,
        "GET /api/ping HTTP/1.1\r\nHost: localhost\r\nA: b\r\n folded\r\n\r\n"s,
        "GET /api/ping HTTP/1.1\r\n\r\n"s, "GET /api/../ping HTTP/1.1\r\nHost: localhost\r\n\r\n"s,
        "POST /api/echo HTTP/1.1\r\nHost: localhost\r\nContent-Type: application/json\r\n"
        "Content-Length: -5\r\n\r\n" +
            smuggled,
        "POST /api/echo HTTP/1.1\r\nHost: localhost\r\nContent-Type: application/json\r\n"
        "Content-Length: 5\r\nTransfer-Encoding: chunked\r\n\r\n0\r\n\r\n" +
            smuggled,
        "POST /api/echo HTTP/1.1\r\nHost: localhost\r\nContent-Type: application/json\r\n"
        "Content-Length: 0\r\nContent-Length: 44\r\n\r\n" +
            smuggled}) {
    auto client = running.client();
    EXPECT_EQ(client.ask(bytes).status, 400) << bytes;
    EXPECT_TRUE(client.is_closed()) << bytes;
    EXPECT_EQ(client.received, "") << bytes;  // what was smuggled in has no answer
  }
  EXPECT_EQ(running.ask("GET /api/ping HTTP/3.0\r\nHost: localhost\r\n\r\n").status, 505);
}

TEST(ServerLimits, ASlowHeaderCannotBeStretched) {
  RunningServer running(quick(), {ping()});
  auto silent = running.client(), dripping = running.client();
  const auto start = Clock::now();
  dripping.send("GET /api/ping HTTP/1.1\r\nX: ");
  int drips = 0;
  while (seconds_since(start) < 5 && dripping.send("x") && !dripping.more(100)) ++drips;
  EXPECT_EQ(dripping.reply().status, 408);
  EXPECT_GE(drips, 5);
  EXPECT_LT(seconds_since(start), 3);
  EXPECT_TRUE(dripping.is_closed());
  EXPECT_TRUE(silent.is_closed());
  EXPECT_EQ(silent.received, "");
  EXPECT_LT(seconds_since(start), 3);
}

TEST(ServerLimits, ASlowBodyIs408) {
  RunningServer running(quick(), {echo()});
  const std::string whole = post("/api/echo", std::string(1000, 'a'));
  auto stalled = running.client(), dripping = running.client();
  const auto start = Clock::now();
  stalled.send(whole.substr(0, whole.size() - 1));
  dripping.send(whole.substr(0, whole.size() - 900));
  // Never a second without a byte, and still too slow: 1 KiB/s is the least.
  while (seconds_since(start) < 6 && dripping.send("x") && !dripping.more(100)) {
  }
  EXPECT_EQ(dripping.reply().status, 408);
  EXPECT_EQ(stalled.reply().status, 408);
  EXPECT_LT(seconds_since(start), 4);
  EXPECT_TRUE(stalled.is_closed());
}

TEST(ServerLimits, IdleConnectionsAreClosed) {
  ServerOptions options;
  options.idle_seconds = 1;
  RunningServer running(options, {ping()});
  auto client = running.client();
  EXPECT_EQ(client.ask(get("/api/ping")).status, 200);
  EXPECT_TRUE(client.is_closed(3000));
  EXPECT_EQ(client.received, "");
}

TEST(ServerLimits, AReaderThatDoesNotReadIsClosed) {
  Route large = ping();
  large.pattern = "/large";
  large.handle = [](Request&) { return json_response(std::string(32 << 20, 'a')); };
  RunningServer running(quick(), {ping(), large});
  auto client = running.client(4096);
  client.send(get("/large"));
  std::this_thread::sleep_for(std::chrono::milliseconds(2500));
  EXPECT_FALSE(client.reply().whole);
  EXPECT_EQ(running.ask(get("/large")).body.size(), 32u << 20);  // who reads gets all
}

TEST(ServerLimits, BodiesTogetherAreBounded) {
  ServerOptions options;
  options.most_body_memory = 1'500'000;
  RunningServer running(options, {echo(1'000'000)});
  const std::string whole = post("/api/echo", std::string(1'000'000, 'a'));
  {
    auto first = running.client();
    first.send(whole.substr(0, whole.size() - 1));
    std::this_thread::sleep_for(std::chrono::milliseconds(200));
    EXPECT_EQ(running.ask(whole).status, 503);
    EXPECT_EQ(first.ask("a").status, 200);
  }
  EXPECT_EQ(running.ask(whole).status, 200);  // given back
}

TEST(ServerLimits, ConnectionsAreCounted) {
  ServerOptions options;
  options.most_of_one_address = 20;
  RunningServer running(options, {ping(), echo(1000)});
  const std::string whole = post("/api/echo", "body");
  std::vector<RawClient> clients;
  for (int i = 0; i < 20; ++i) {
    clients.push_back(running.client());
    EXPECT_EQ(clients.back().ask(get("/api/ping")).status, 200);
    clients.back().send(whole.substr(0, whole.size() - 1));  // has something to do
  }
  std::this_thread::sleep_for(std::chrono::milliseconds(300));
  auto more = running.client();
  EXPECT_EQ(more.reply().status, 503);
  EXPECT_TRUE(more.is_closed());
  EXPECT_EQ(clients.front().ask(whole.substr(whole.size() - 1)).status, 200);
  clients.pop_back();
  const auto start = Clock::now();
  int status = 0;
  while (status != 200 && seconds_since(start) < 5) status = running.ask(get("/api/ping")).status;
  EXPECT_EQ(status, 200);
}

TEST(ServerLimits, IdleConnectionsLockNobodyOut) {
  for (const bool is_total : {false, true}) {
    ServerOptions options;
    (is_total ? options.most_connections : options.most_of_one_address) = 20;
    RunningServer running(options, {ping(), echo(1000)});
    const std::string whole = post("/api/echo", "body");
    auto busy = running.client();
    busy.send(whole.substr(0, whole.size() - 1));
    std::vector<RawClient> idle;
    for (int i = 0; i < 60; ++i) {
      idle.push_back(running.client());
      if (i % 3 == 0) idle.back().send("GET /api/ping HTTP/1.1\r\nHo");
      if (i % 3 == 1) {
        EXPECT_EQ(idle.back().ask(get("/api/ping")).status, 200);
      }
    }
    auto page = running.client();
    EXPECT_EQ(page.ask(get("/api/ping")).status, 200);
    EXPECT_TRUE(idle.front().is_closed());
    EXPECT_EQ(idle[58].ask(get("/api/ping")).status, 200);  // not the newest
    EXPECT_EQ(busy.ask(whole.substr(whole.size() - 1)).status, 200);
  }
}

TEST(ServerLimits, SilentConnectionsDisturbNobody) {
  RunningServer running({ping(), ping_slow(1)});
  std::vector<RawClient> silent;
  for (int i = 0; i < 200; ++i) {
    silent.push_back(running.client());
    if (i % 2) silent.back().send("GET /api/ping HTTP/1.1\r\nHo");
  }
  auto client = running.client();
  const auto start = Clock::now();
  for (int i = 0; i < 100; ++i) {
    ASSERT_EQ(client.ask(get("/api/ping")).status, 200);
    ASSERT_EQ(client.ask(get("/api/slow")).status, 200);
  }
  EXPECT_LT(seconds_since(start), 5);
}

TEST(ServerLimits, NoFilesLeftToOpenIsSurvived) {
  RunningServer running({ping()});
  auto before = running.client();
  EXPECT_EQ(before.ask(get("/api/ping")).status, 200);
  rlimit old{};
  ASSERT_EQ(::getrlimit(RLIMIT_NOFILE, &old), 0);
  auto waiting = running.client();
  auto late = running.client();
  EXPECT_EQ(waiting.ask(get("/api/ping")).status, 200);
  EXPECT_EQ(late.ask(get("/api/ping")).status, 200);
  const int next = ::dup(0);  // the lowest free number, which is the first one not to be had
  ::close(next);
  const int own = ::socket(AF_INET, SOCK_STREAM | SOCK_CLOEXEC, 0);
  rlimit low{static_cast<rlim_t>(own) + 1, old.rlim_max};
  sockaddr_in to{};
  to.sin_family = AF_INET;
  to.sin_port = htons(static_cast<std::uint16_t>(running.server.port()));
  to.sin_addr.s_addr = htonl(INADDR_LOOPBACK);
  ASSERT_EQ(::setrlimit(RLIMIT_NOFILE, &low), 0);
  EXPECT_EQ(::connect(own, reinterpret_cast<sockaddr*>(&to), sizeof to), 0);
  const std::string request = get("/api/ping");
  EXPECT_GT(::send(own, request.data(), request.size(), MSG_NOSIGNAL), 0);
  pollfd wait{own, POLLIN, 0};
  EXPECT_EQ(::poll(&wait, 1, 300), 0);  // nobody can take it
  EXPECT_EQ(before.ask(get("/api/ping")).status, 200);
  ASSERT_EQ(::setrlimit(RLIMIT_NOFILE, &old), 0);
  EXPECT_EQ(::poll(&wait, 1, 5000), 1);
  ::close(own);
}

}  // namespace
