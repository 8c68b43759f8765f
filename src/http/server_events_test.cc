// SPDX-License-Identifier: Apache-2.0
// Server-sent events, and how the server stops.
#include <gtest/gtest.h>

#include <atomic>
#include <future>

#include "http/test_client.h"

using namespace tautmark;
using namespace tautmark::test;
using Clock = std::chrono::steady_clock;

namespace {

double seconds_since(Clock::time_point start) {
  return std::chrono::duration<double>(Clock::now() - start).count();
}

Route events() {
  return {.method = "GET", .pattern = "/api/events", .handle = [](Request& request) {
            EventStream stream;
            if (!request.query["topic"].empty())
              stream.wants = [wanted = request.query["topic"]](const std::string& topic) {
                if (topic == "bad") throw std::runtime_error("cannot say");
                return topic == wanted;
              };
            if (const auto last = request.header("last-event-id"); !last.empty())
              stream.after = std::stoll(std::string(last));
            Response response;
            response.body = std::move(stream);
            return response;
          }};
}

RawClient listener(RunningServer& running, const std::string& request, int receive_buffer = 0) {
  auto client = running.client(receive_buffer);
  client.send(request);
  EXPECT_TRUE(client.wait_for("retry: 2000\n\n"));
  return client;
}

TEST(ServerEvents, ReachEverybodyWhoWantsThem) {
  RunningServer running({events(), ping()});
  std::vector<RawClient> all;
  for (int i = 0; i < 20; ++i) all.push_back(listener(running, get("/api/events")));
  auto one = listener(running, get("/api/events?topic=b"));
  EXPECT_NE(one.received.find("Content-Type: text/event-stream\r\n"), std::string::npos);
  EXPECT_NE(one.received.find("Cache-Control: no-store\r\n"), std::string::npos);
  running.server.publish("bad", "0", 0);
  running.server.publish("a", "1", 1);
  running.server.publish("b", "2\n3", 2);
  EXPECT_TRUE(one.wait_for("id: 2\ndata: 2\ndata: 3\n\n"));
  EXPECT_EQ(one.received.find("id: 1\n"), std::string::npos);
  for (auto& client : all) {
    EXPECT_TRUE(client.wait_for("id: 2\n"));
    EXPECT_LT(client.received.find("id: 1\n"), client.received.find("id: 2\n"));
  }
  all.clear();  // clients that went away
  running.server.publish("b", "4", 3);
  EXPECT_TRUE(one.wait_for("id: 3\n"));

  auto again = listener(running, get("/api/events", "Last-Event-ID: 1\r\n"));
  EXPECT_TRUE(again.wait_for("id: 3\n"));
  EXPECT_NE(again.received.find("id: 2\n"), std::string::npos);
  EXPECT_EQ(again.received.find("id: 1\n"), std::string::npos);
  auto late = listener(running, get("/api/events", "Last-Event-ID: -1\r\n"));
  EXPECT_TRUE(late.wait_for("event: reload\n"));

  const Reply head = running.ask("HEAD /api/events HTTP/1.1\r\nHost: localhost\r\n\r\n");
  EXPECT_EQ(head.status, 200);
}

// Whose session has ended hears nothing more: asked with each heartbeat, not on the network thread.
TEST(ServerEvents, AHeartbeatEndsThoseWhoMayListenNoLonger) {
  std::atomic<bool> may = true;
  std::atomic<int> asked = 0;
  Route guarded = events();
  guarded.handle = [&](Request&) {
    Response response;
    response.body = EventStream{.goes_on = [&] {
      ++asked;
      return may.load();
    }};
    return response;
  };
  ServerOptions options;
  options.heartbeat_seconds = 1;
  RunningServer running(options, {guarded, ping()});
  auto client = listener(running, get("/api/events"));
  EXPECT_TRUE(client.wait_for(":\n\n\r\n", 5000));
  EXPECT_GE(asked.load(), 1);
  may = false;
  EXPECT_TRUE(client.is_closed(5000));
  EXPECT_FALSE(client.received.ends_with("0\r\n\r\n"));
  EXPECT_EQ(running.ask(get("/api/ping")).status, 200);
}

TEST(ServerEvents, AHeartbeatKeepsThemOpen) {
  ServerOptions options;
  options.heartbeat_seconds = 1;
  options.idle_seconds = options.header_seconds = options.body_seconds = 1;
  RunningServer running(options, {events()});
  auto client = listener(running, get("/api/events"));
  EXPECT_TRUE(client.wait_for(":\n\n\r\n3\r\n:\n\n", 5000));
  running.server.publish("a", "1", 1);
  EXPECT_TRUE(client.wait_for("id: 1\n"));
}

TEST(ServerEvents, WhoDoesNotReadIsCutOffAndDisturbsNobody) {
  RunningServer running({events(), ping()});
  auto slow = listener(running, get("/api/events"), 4096);
  auto fast = listener(running, get("/api/events"));
  const std::string data(20'000, 'x');
  for (int i = 1; i <= 1000; ++i) {
    running.server.publish("a", data, i);
    ASSERT_TRUE(fast.wait_for("id: " + std::to_string(i) + "\n"));
    fast.received.clear();
  }
  EXPECT_TRUE(slow.is_closed());
  EXPECT_EQ(slow.received.find("id: 1000\n"), std::string::npos);
}

TEST(ServerStop, EndsStreamsAndFinishesWhatIsUnderWay) {
  RunningServer running({events(), ping_slow(500), ping()});
  auto stream = listener(running, get("/api/events"));
  auto idle = running.client();
  EXPECT_EQ(idle.ask(get("/api/ping")).status, 200);
  auto busy = running.client();
  busy.send(get("/api/slow"));
  std::this_thread::sleep_for(std::chrono::milliseconds(100));
  const auto start = Clock::now();
  auto stopping = std::async(std::launch::async, [&] { running.stop(); });
  const Reply reply = busy.reply();
  EXPECT_EQ(reply.status, 200);
  EXPECT_EQ(reply.headers.at("connection"), "close");
  EXPECT_TRUE(idle.is_closed());
  EXPECT_TRUE(stream.is_closed());
  EXPECT_TRUE(stream.received.ends_with("\r\n0\r\n\r\n"));
  EXPECT_THROW(running.client(), std::runtime_error);
  busy.close();
  stream.close();
  stopping.get();
  EXPECT_LT(seconds_since(start), 3);
}

TEST(ServerStop, DoesNotWaitLongerThanFiveSeconds) {
  std::promise<void> may_end;
  const auto wait = may_end.get_future().share();
  Route stuck = ping_slow();
  stuck.handle = [&](Request&) {
    wait.wait();
    return json_response("1");
  };
  RunningServer running({stuck, ping()});
  auto client = running.client();
  client.send(get("/api/slow"));
  std::this_thread::sleep_for(std::chrono::milliseconds(100));
  const auto start = Clock::now();
  running.stop();  // run() has returned
  EXPECT_LT(seconds_since(start), 5.2);
  EXPECT_GT(seconds_since(start), 4);
  EXPECT_TRUE(client.is_closed());
  may_end.set_value();
}

TEST(ServerStop, BeforeRunAndTwice) {
  Server server(ServerOptions{}, {ping()});
  server.stop();
  server.stop();
  server.run();
  server.stop();
  server.publish("a", "b", 1);
}

TEST(ServerPool, FullIs503AndWhatIsAtOnceStillAnswers) {
  std::promise<void> may_end;
  const auto wait = may_end.get_future().share();
  std::atomic<int> running_now = 0;
  Route stuck = ping_slow();
  stuck.handle = [&](Request&) {
    ++running_now;
    wait.wait();
    return json_response("1");
  };
  ServerOptions options;
  options.workers = 2;
  options.most_waiting = 3;
  RunningServer running(options, {stuck, ping(), echo()});
  std::vector<RawClient> waiting;
  for (int i = 0; i < 5; ++i) {
    waiting.push_back(running.client());
    waiting.back().send(get("/api/slow"));
    while (running_now < std::min(i + 1, 2)) std::this_thread::yield();
  }
  auto client = running.client();
  for (int tries = 0; tries < 2; ++tries) {
    std::this_thread::sleep_for(std::chrono::milliseconds(50));
    const auto start = Clock::now();
    const Reply full = client.ask(get("/api/slow"));
    EXPECT_EQ(full.status, 503);
    EXPECT_EQ(full.headers.at("retry-after"), "1");
    EXPECT_EQ(client.ask(get("/api/ping")).status, 200);
    EXPECT_LT(seconds_since(start), 1);
  }
  EXPECT_EQ(running.ask(post("/api/echo", "1")).status, 503);
  may_end.set_value();
  for (auto& one : waiting) EXPECT_EQ(one.reply().status, 200);
}

}  // namespace
