// SPDX-License-Identifier: Apache-2.0
#include "http/event_hub.h"

#include <gtest/gtest.h>

using namespace tautmark;

namespace {

TEST(EventHub, TextIsWhatAnEventSourceReads) {
  EXPECT_EQ(event_text("{}", 7), "id: 7\ndata: {}\n\n");
  EXPECT_EQ(event_text("1\n2\r\n3\r4\n", 1),
            "id: 1\ndata: 1\ndata: 2\ndata: 3\ndata: 4\ndata: \n\n");
}

TEST(EventHub, ReadersHearWhatTheyWant) {
  EventHub hub;
  int all_woken = 0, one_woken = 0;
  const auto all = hub.join({}, {}, [&] { ++all_woken; });
  const auto one =
      hub.join([](const std::string& topic) { return topic == "b"; }, {}, [&] { ++one_woken; });
  hub.publish("a", "1", 1);
  hub.publish("b", "2", 2);
  EXPECT_EQ(all_woken, 2);
  EXPECT_EQ(one_woken, 1);
  EXPECT_EQ(hub.take(all), event_text("1", 1) + event_text("2", 2));
  EXPECT_EQ(hub.take(all), "");
  EXPECT_EQ(hub.take(one), event_text("2", 2));
  hub.leave(one);
  hub.publish("b", "3", 3);
  EXPECT_EQ(one_woken, 1);
  EXPECT_EQ(hub.take(one), std::nullopt);
}

TEST(EventHub, WhoDoesNotReadIsCutOff) {
  EventHub hub;
  const auto slow = hub.join({}, {}, [] {});
  for (int i = 0; i < 256; ++i) hub.publish("a", "x", i);
  EXPECT_FALSE(hub.is_lost(slow));
  const auto fast = hub.join({}, {}, [] {});
  hub.publish("a", "x", 256);
  EXPECT_TRUE(hub.is_lost(slow));
  EXPECT_EQ(hub.take(slow), std::nullopt);
  EXPECT_EQ(hub.take(fast), event_text("x", 256));
  hub.publish("a", std::string(EventHub::kMostBytes, 'x'), 257);  // few, but too large
  EXPECT_TRUE(hub.is_lost(fast));
}

TEST(EventHub, WhoComesBackGetsWhatItMissed) {
  EventHub hub;
  const auto joined = [&](std::int64_t after) {
    const auto reader =
        hub.join([](const std::string& topic) { return topic != "b"; }, after, [] {});
    return *hub.take(reader);
  };
  const std::string reload = "event: reload\ndata: \n\n";
  EXPECT_EQ(joined(5), reload);  // nothing is known of the time before this start
  hub.publish("a", "x", 6);
  hub.publish("b", "x", 7);
  hub.publish("c", "x", 8);
  EXPECT_EQ(joined(5), reload);
  EXPECT_EQ(joined(6), event_text("x", 8));
  EXPECT_EQ(joined(8), "");
  for (int i = 9; i < 9 + 256; ++i) hub.publish("b", "x", i);
  EXPECT_EQ(joined(8), reload);
  EXPECT_EQ(joined(9), "");
}

TEST(EventHub, AReaderMayLeaveWhenWoken) {
  EventHub hub;
  EventHub::Reader first = 0, second = 0;
  int woken = 0;
  const auto both_leave = [&] {
    ++woken;
    hub.leave(first);
    hub.leave(second);
  };
  first = hub.join({}, {}, both_leave);
  second = hub.join({}, {}, both_leave);
  hub.publish("a", "x", 1);
  EXPECT_EQ(woken, 1);
}

}  // namespace
