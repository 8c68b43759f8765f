// SPDX-License-Identifier: Apache-2.0
// Who hears which events, as text/event-stream (WHATWG HTML, 9.2.6). For one thread.
#pragma once

#include <cstdint>
#include <deque>
#include <functional>
#include <map>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

namespace tautmark {

// "id: 7\ndata: …\n\n". Line ends in the data become new lines of data. The topic is not sent: a
// page hears all that it wants under one name.
std::string event_text(std::string_view data, std::int64_t id);

class EventHub {
 public:
  using Reader = std::uint64_t;

  static constexpr std::size_t kMostWaiting = 256;         // events; and
  static constexpr std::size_t kMostBytes = 1 << 20;       // bytes of them, then cut off
  static constexpr std::size_t kMostKept = 256;            // events for those who come back
  static constexpr std::size_t kMostKeptBytes = 4u << 20;  // bytes of them

  // `wants` empty: every topic. `wake` is called by publish() when take() has something to say. A
  // reader that comes back with the last id it has seen gets what it missed; when that is not
  // known any more it gets an event "reload" first.
  Reader join(std::function<bool(const std::string&)> wants, std::optional<std::int64_t> after,
              std::function<void()> wake);
  void leave(Reader reader);

  // Ids only grow. `wake` may call leave().
  void publish(const std::string& topic, const std::string& data, std::int64_t id);

  // Everything that waits for the reader, maybe nothing. Empty: it fell too far behind (or left).
  std::optional<std::string> take(Reader reader);
  [[nodiscard]] bool is_lost(Reader reader) const;

 private:
  struct One {
    std::function<bool(const std::string&)> wants;
    std::function<void()> wake;
    std::string waiting;
    std::size_t events = 0;
    bool cut_off = false;
  };
  struct Kept {
    std::string topic, text;
    std::int64_t id;
  };
  static bool add(One& reader, const std::string& topic, const std::string& text);

  Reader next_ = 1;
  std::map<Reader, One> readers_;
  std::deque<Kept> kept_;
  std::size_t kept_bytes_ = 0;
};

}  // namespace tautmark
