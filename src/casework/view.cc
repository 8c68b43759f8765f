// SPDX-License-Identifier: Apache-2.0
#include "casework/view.h"

#include <algorithm>
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

const Instrument* find_instrument(const Case& value, std::string_view name) {
  const auto found = std::find_if(
      value.instruments.begin(), value.instruments.end(),
      [&](const Instrument& instrument) { return folded(instrument.name) == folded(name); });
  return found == value.instruments.end() ? nullptr : &*found;
}

}  // namespace tautmark
