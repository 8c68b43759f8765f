// SPDX-License-Identifier: Apache-2.0
#include "http/event_hub.h"

#include <utility>

namespace tautmark {

std::string event_text(std::string_view data, std::int64_t id) {
  std::string text = "id: " + std::to_string(id) + "\ndata: ";
  for (std::size_t i = 0; i < data.size(); ++i) {
    if (data[i] == '\r' && i + 1 < data.size() && data[i + 1] == '\n') continue;
    if (data[i] == '\n' || data[i] == '\r')
      text += "\ndata: ";
    else
      text += data[i];
  }
  return text += "\n\n";
}

bool EventHub::add(One& reader, const std::string& topic, const std::string& text) {
  if (reader.cut_off || (reader.wants && !reader.wants(topic))) return false;
  if (reader.events >= kMostWaiting || reader.waiting.size() + text.size() > kMostBytes) {
    reader.cut_off = true;
    reader.waiting = {};
    return true;
  }
  reader.waiting += text;
  ++reader.events;
  return true;
}

EventHub::Reader EventHub::join(std::function<bool(const std::string&)> wants,
                                std::optional<std::int64_t> after, std::function<void()> wake) {
  One reader{std::move(wants), std::move(wake), "", 0, false};
  if (after) {
    const bool known = !kept_.empty() && kept_.front().id <= *after;
    if (!known) reader.waiting = "event: reload\ndata: \n\n";
    for (const Kept& event : kept_)
      if (known && event.id > *after) add(reader, event.topic, event.text);
  }
  readers_.emplace(next_, std::move(reader));
  return next_++;
}

void EventHub::leave(Reader reader) { readers_.erase(reader); }

void EventHub::publish(const std::string& topic, const std::string& data, std::int64_t id) {
  const std::string text = event_text(data, id);
  kept_.push_back({topic, text, id});
  kept_bytes_ += text.size();
  while (kept_.size() > kMostKept || (kept_bytes_ > kMostKeptBytes && kept_.size() > 1)) {
    kept_bytes_ -= kept_.front().text.size();
    kept_.pop_front();
  }
  std::vector<Reader> woken;
  for (auto& [number, reader] : readers_)
    if (add(reader, topic, text)) woken.push_back(number);
  for (const Reader number : woken)
    if (const auto found = readers_.find(number); found != readers_.end()) {
      const auto wake = found->second.wake;  // a copy: leave() destroys the reader
      wake();
    }
}

bool EventHub::is_lost(Reader reader) const {
  const auto found = readers_.find(reader);
  return found == readers_.end() || found->second.cut_off;
}

std::optional<std::string> EventHub::take(Reader reader) {
  if (is_lost(reader)) return std::nullopt;
  const auto found = readers_.find(reader);
  found->second.events = 0;
  return std::exchange(found->second.waiting, {});
}

}  // namespace tautmark
