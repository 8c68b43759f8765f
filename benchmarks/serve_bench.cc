// SPDX-License-Identifier: Apache-2.0
// What 200 slow or silent connections cost 16 busy ones: requests a second of the busy ones alone
// and with the others, in turn in one run, so that whatever else the machine does meets both.
// Budget: no slower than by a factor of 1.5. Server and clients share the machine.
#include <algorithm>
#include <atomic>
#include <cstdio>
#include <memory>
#include <utility>

#include "http/test_client.h"

using namespace tautmark;
using namespace tautmark::test;
using Clock = std::chrono::steady_clock;

namespace {

constexpr int kBusy = 16, kSlow = 200, kRounds = 5;
constexpr double kSeconds = 1.0, kBudget = 1.5;

double seconds_since(Clock::time_point start) {
  return std::chrono::duration<double>(Clock::now() - start).count();
}

std::vector<Route> routes() {
  Route once = ping(), work = ping(Work::on_pool), large = ping(Work::on_pool);
  once.handle = [](Request&) { return json_response(std::string(1000, 'a')); };
  work.pattern = "/api/work";
  work.handle = [](Request&) {  // about a tenth of a millisecond
    const auto start = Clock::now();
    while (seconds_since(start) < 1e-4) {
    }
    return json_response(std::string(1000, 'a'));
  };
  large.pattern = "/api/large";
  large.handle = [](Request&) {
    Response response;
    response.body = BodySource{.next = [] { return std::string(256 << 10, 'a'); }};
    return response;
  };
  return {once, work, large, echo()};
}

struct Speed {
  double per_second = 0, worst_percent_ms = 0;  // 99 of 100 answers come within
};

// Every busy connection asks again as soon as it has its answer.
Speed measure(RunningServer& running, const std::string& request) {
  std::vector<RawClient> clients;
  std::vector<Clock::time_point> asked(kBusy);
  std::vector<pollfd> waits;
  for (int i = 0; i < kBusy; ++i) {
    clients.push_back(running.client());
    waits.push_back({clients.back().descriptor(), POLLIN, 0});
  }
  const auto start = Clock::now();
  for (std::size_t i = 0; i < kBusy; ++i) {
    asked[i] = Clock::now();
    clients[i].send(request);
  }
  std::vector<double> took;
  while (seconds_since(start) < kSeconds) {
    ::poll(waits.data(), waits.size(), 100);
    for (std::size_t i = 0; i < kBusy; ++i) {
      if (!(waits[i].revents & POLLIN)) continue;
      clients[i].more();
      // Answers are small and come whole: head, and 1000 letters at the end.
      if (!clients[i].received.ends_with("aaaaaaaa")) continue;
      if (!clients[i].received.starts_with("HTTP/1.1 200")) std::abort();
      clients[i].received.clear();
      took.push_back(seconds_since(asked[i]));
      asked[i] = Clock::now();
      clients[i].send(request);
    }
  }
  std::ranges::sort(took);
  if (took.empty()) return {};
  return {static_cast<double>(took.size()) / seconds_since(start),
          took[took.size() * 99 / 100] * 1000};
}

// A quarter each: silent, a header that drips, a body that drips, an answer that is not read.
class SlowOnes {
 public:
  explicit SlowOnes(RunningServer& running) {
    for (int i = 0; i < kSlow; ++i) {
      clients_.push_back(running.client(i % 4 == 3 ? 4096 : 0));
      if (i % 4 == 1) clients_.back().send("GET /api/ping HTTP/1.1\r\nX: ");
      if (i % 4 == 2) clients_.back().send(body());
      if (i % 4 == 3) clients_.back().send(get("/api/large"));
    }
    thread_ = std::thread([this] { drip(); });
  }
  ~SlowOnes() {
    stop_ = true;
    thread_.join();
  }

 private:
  static std::string body() {
    const std::string whole = post("/api/echo", std::string(100'000, 'a'));
    return whole.substr(0, whole.size() - 99'000);
  }
  void drip() {
    while (!stop_) {
      for (int i = 0; i < kSlow; ++i)
        if (i % 4 == 1 || i % 4 == 2) clients_[static_cast<std::size_t>(i)].send("x");
      std::this_thread::sleep_for(std::chrono::milliseconds(100));
    }
  }
  std::vector<RawClient> clients_;
  std::atomic<bool> stop_ = false;
  std::thread thread_;
};

double median(std::vector<double> values) {
  std::ranges::sort(values);
  return values[values.size() / 2];
}

bool compare(RunningServer& running, const char* name, const char* target) {
  std::vector<double> alone, crowded, alone_worst, crowded_worst;
  for (int round = 0; round < kRounds; ++round) {
    const Speed quiet = measure(running, get(target));
    alone.push_back(quiet.per_second);
    alone_worst.push_back(quiet.worst_percent_ms);
    const SlowOnes slow(running);
    const Speed loud = measure(running, get(target));
    crowded.push_back(loud.per_second);
    crowded_worst.push_back(loud.worst_percent_ms);
  }
  const double ratio = median(alone) / median(crowded);
  std::printf("%s: %.0f requests/s alone, %.0f with %d slow ones (99 %%: %.2f and %.2f ms)\n", name,
              median(alone), median(crowded), kSlow, median(alone_worst), median(crowded_worst));
  std::printf("%s: slower by a factor of %.2f, budget %.1f\n", name, ratio, kBudget);
  return ratio <= kBudget;
}

}  // namespace

int main() {
  RunningServer running(routes());
  const bool once = compare(running, "at once", "/api/ping");
  const bool pool = compare(running, "on the pool", "/api/work");
  return once && pool ? 0 : 1;
}
