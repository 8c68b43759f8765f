// SPDX-License-Identifier: Apache-2.0
// Bodies in pieces, both ways.
#include <gtest/gtest.h>

#include <algorithm>
#include <atomic>
#include <fstream>
#include <memory>

#include "http/test_client.h"

using namespace tautmark;
using namespace tautmark::test;

namespace {

constexpr std::size_t kLarge = 64 << 20;
#ifdef TAUTMARK_SANITIZED
constexpr std::int64_t kMostGrowth = 1 << 30;  // it keeps freed memory for a while
#else
constexpr std::int64_t kMostGrowth = 16 << 20;
#endif

std::int64_t resident_bytes() {
  std::int64_t pages = 0, resident = 0;
  std::ifstream("/proc/self/statm") >> pages >> resident;
  return resident * ::sysconf(_SC_PAGESIZE);
}

// A sink that counts, and how sinks end.
struct Counted {
  std::atomic<std::size_t> bytes = 0, largest = 0, sum = 0;
  std::atomic<int> at_once = 0, most_at_once = 0, destroyed = 0, finished = 0;
  std::atomic<int> milliseconds = 0;
  std::atomic<std::size_t> most = std::string::npos;
  std::atomic<bool> throws = false;
};

Route upload(Counted& counted) {
  return {.method = "PUT",
          .pattern = "/api/files/{name}",
          .take = [&counted](Request& request) -> std::variant<BodySink, Response> {
            if (request.parts["name"] == "no") return problem(409, "No", "No.");
            const std::shared_ptr<int> alive(new int, [&counted](const int* gone) {
              delete gone;
              ++counted.destroyed;
            });
            return BodySink{
                .add =
                    [&counted, alive](std::string_view bytes) {
                      counted.most_at_once = std::max<int>(counted.most_at_once, ++counted.at_once);
                      std::this_thread::sleep_for(std::chrono::milliseconds(counted.milliseconds));
                      if (counted.throws) throw std::runtime_error("disk on fire");
                      for (const char c : bytes) counted.sum += static_cast<unsigned char>(c);
                      counted.bytes += bytes.size();
                      counted.largest = std::max<std::size_t>(counted.largest, bytes.size());
                      --counted.at_once;
                      return counted.bytes < counted.most;
                    },
                .finish =
                    [&counted, alive] {
                      ++counted.finished;
                      return json_response(std::to_string(counted.bytes));
                    }};
          },
          .most_body = std::int64_t{1} << 40,
          .body_type = "application/octet-stream"};
}

std::string put(std::string_view name, std::string_view framing) {
  return "PUT /api/files/" + std::string(name) +
         " HTTP/1.1\r\nHost: localhost\r\nContent-Type: application/octet-stream\r\n" +
         std::string(framing) + "\r\n\r\n";
}

template <class Condition>
bool becomes(Condition condition) {
  for (int i = 0; i < 500 && !condition(); ++i)
    std::this_thread::sleep_for(std::chrono::milliseconds(10));
  return condition();
}

TEST(ServerStream, AnUploadNeedsNoMemory) {
  Counted counted;
  RunningServer running({upload(counted), ping()});
  auto client = running.client();
  const std::string piece(1 << 20, '\x01');
  ASSERT_TRUE(client.send(put("x", "Content-Length: " + std::to_string(kLarge))));
  const auto before = resident_bytes();
  for (std::size_t sent = 0; sent < kLarge; sent += piece.size()) ASSERT_TRUE(client.send(piece));
  EXPECT_EQ(client.reply().body, std::to_string(kLarge));
  EXPECT_LT(resident_bytes() - before, kMostGrowth);
  EXPECT_EQ(counted.sum, kLarge);
  EXPECT_EQ(counted.most_at_once, 1);
  EXPECT_LE(counted.largest, 1u << 20);
  EXPECT_EQ(client.ask(get("/api/ping")).status, 200);
  EXPECT_TRUE(becomes([&] { return counted.destroyed == 1; }));
}

TEST(ServerStream, ASlowSinkHoldsBackTheSender) {
  Counted counted;
  counted.milliseconds = 300;
  RunningServer running({upload(counted), ping()});
  auto client = running.client();
  client.send(put("x", "Content-Length: " + std::to_string(kLarge)));
  const int small = 64 * 1024;
  ::setsockopt(client.descriptor(), SOL_SOCKET, SO_SNDBUF, &small, sizeof small);
  const std::string piece(64 << 10, 'a');
  std::size_t taken = 0;
  for (int idle = 0; idle < 10;) {
    const auto sent =
        ::send(client.descriptor(), piece.data(), piece.size(), MSG_NOSIGNAL | MSG_DONTWAIT);
    if (sent > 0) taken += static_cast<std::size_t>(sent);
    if (sent <= 0 && ++idle) std::this_thread::sleep_for(std::chrono::milliseconds(10));
  }
  // About 1 MiB here and what the kernel holds; a tenth of a second does not take 64 MiB.
  EXPECT_LT(taken, kLarge / 2);
  EXPECT_EQ(running.ask(get("/api/ping")).status, 200);
}

TEST(ServerStream, ChunksArriveInOrder) {
  Counted counted;
  RunningServer running({upload(counted)});
  auto client = running.client();
  client.send(put("x", "Transfer-Encoding: chunked\r\nExpect: 100-continue"));
  EXPECT_EQ(client.reply().status, 100);
  for (int i = 0; i < 100; ++i) client.send("3\r\nabc\r\n");
  EXPECT_EQ(client.ask("0\r\n\r\n").body, "300");
  EXPECT_EQ(client.ask(put("x", "Content-Length: 0")).body, "300");
  EXPECT_EQ(counted.finished, 2);
}

TEST(ServerStream, ASinkMayHaveEnough) {
  Counted counted;
  counted.most = 100'000;
  RunningServer running({upload(counted)});
  auto client = running.client();
  client.send(put("x", "Content-Length: 1000000") + std::string(200'000, 'a'));
  const Reply reply = client.reply();
  EXPECT_EQ(reply.status, 200);
  EXPECT_EQ(reply.headers.at("connection"), "close");
  EXPECT_LT(counted.bytes, 300'000u);
  EXPECT_TRUE(client.is_closed());
  EXPECT_EQ(running.ask(put("no", "Content-Length: 1000000") + "abc").status, 409);
  counted.throws = true;
  EXPECT_EQ(running.ask(put("x", "Content-Length: 1000000") + "abc").status, 500);
  EXPECT_TRUE(becomes([&] { return counted.destroyed == 2; }));
}

TEST(ServerStream, ASinkGoesWhenTheClientGoes) {
  Counted counted;
  RunningServer running({upload(counted)});
  {
    auto client = running.client();
    client.send(put("x", "Content-Length: 1000") + "abc");
    EXPECT_TRUE(becomes([&] { return counted.bytes == 3; }));
  }
  EXPECT_TRUE(becomes([&] { return counted.destroyed == 1; }));
  auto lying = running.client();
  lying.send(put("x", "Transfer-Encoding: chunked") + "3\r\nabc\r\nnonsense\r\n");
  EXPECT_EQ(lying.reply().status, 400);
  EXPECT_TRUE(becomes([&] { return counted.destroyed == 2; }));
  EXPECT_EQ(counted.finished, 0);
}

// Gives `pieces` pieces of 256 KiB; then the end, or what `end` does.
Route download(
    const std::string& pattern, std::optional<std::int64_t> length, std::size_t pieces,
    std::function<std::optional<std::string>()> end = [] { return std::string(); }) {
  return {.method = "GET", .pattern = pattern, .handle = [=](Request&) {
            Response response;
            response.content_type = "application/octet-stream";
            response.body = BodySource{.next = [=, left = std::make_shared<std::size_t>(
                                                       pieces)]() -> std::optional<std::string> {
                                         if (*left == 0) return end();
                                         --*left;
                                         return std::string(256 << 10, 'a');
                                       },
                                       .length = length};
            return response;
          }};
}

TEST(ServerStream, ADownloadNeedsNoMemory) {
  RunningServer running({download("/sized", kLarge, 256), download("/chunked", {}, 256), ping()});
  for (const char* target : {"/sized", "/chunked"}) {
    auto client = running.client();
    client.send(get(target) + get("/api/ping"));
    const auto before = resident_bytes();
    std::size_t got = 0, letters = 0;
    while (client.received.find("\"pong\"") == std::string::npos) {
      ASSERT_TRUE(client.more());
      if (client.received.size() < 100'000) continue;
      const std::string tail = client.received.substr(client.received.size() - 2000);
      got += client.received.size() - tail.size();
      client.received.resize(got ? client.received.size() - tail.size() : 0);
      letters += static_cast<std::size_t>(std::ranges::count(client.received, 'a'));
      client.received = tail;
    }
    letters += static_cast<std::size_t>(std::ranges::count(client.received, 'a'));
    EXPECT_GE(letters, kLarge) << target;
    EXPECT_LT(letters, kLarge + 200) << target;  // and a few in the heads
    EXPECT_LT(resident_bytes() - before, kMostGrowth) << target;
  }
}

TEST(ServerStream, HalfAFileIsNeverAWholeOne) {
  RunningServer running(
      {download("/sized", 1 << 20, 4), download("/short", 1 << 20, 3),
       download("/long", 1 << 18, 2), download("/failed", {}, 2, [] { return std::nullopt; }),
       download("/thrown", {}, 2, []() -> std::optional<std::string> { throw std::bad_alloc(); }),
       download("/failed-sized", 1 << 20, 2, [] { return std::nullopt; })});
  EXPECT_TRUE(running.ask(get("/sized")).whole);
  for (const char* target : {"/short", "/failed", "/thrown", "/failed-sized"}) {
    const Reply reply = running.ask(get(target));
    EXPECT_EQ(reply.status, 200) << target;
    EXPECT_FALSE(reply.whole) << target;
  }
  auto client = running.client();
  client.send(get("/long"));
  EXPECT_TRUE(client.is_closed());
  EXPECT_LT(client.received.size(), (1u << 18) + 2000);
  const Reply head = running.ask("HEAD /sized HTTP/1.1\r\nHost: localhost\r\n\r\n");
  EXPECT_EQ(head.headers.at("content-length"), "1048576");
  const Reply old = running.ask("GET /chunks HTTP/1.0\r\nHost: localhost\r\n\r\n");
  EXPECT_EQ(old.status, 404);
}

}  // namespace
