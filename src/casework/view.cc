// SPDX-License-Identifier: Apache-2.0
#include "casework/view.h"

#include <algorithm>
#include <map>
#include <set>

#include "base/text.h"

namespace tautmark {

std::vector<const Entry*> entries_in_force(const Case& value) {
  std::set<std::string_view> replaced;
  for (const Entry& entry : value.entries)
    if (entry.replaces) replaced.insert(*entry.replaces);
  std::vector<const Entry*> in_force;
  for (const Entry& entry : value.entries)
    if (!replaced.contains(entry.id)) in_force.push_back(&entry);
  return in_force;
}

std::vector<const Entry*> entries_in_order_of_work(const Case& value) {
  std::map<std::string_view, std::size_t> place;
  for (const Entry& entry : value.entries) {
    const auto corrected = entry.replaces ? place.find(*entry.replaces) : place.end();
    const std::size_t at = corrected == place.end() ? place.size() : corrected->second;
    place.emplace(entry.id, at);
  }
  std::vector<const Entry*> entries = entries_in_force(value);
  std::stable_sort(entries.begin(), entries.end(), [&](const Entry* a, const Entry* b) {
    return place.at(a->id) < place.at(b->id);
  });
  return entries;
}

const Instrument* find_instrument(const Case& value, std::string_view name) {
  const auto found = std::find_if(
      value.instruments.begin(), value.instruments.end(),
      [&](const Instrument& instrument) { return folded(instrument.name) == folded(name); });
  return found == value.instruments.end() ? nullptr : &*found;
}

}  // namespace tautmark
