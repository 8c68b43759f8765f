// SPDX-License-Identifier: Apache-2.0
// The entries that count: those that no later entry replaces.
#pragma once

#include <string_view>
#include <vector>

#include "casework/case.h"
#include "drive/places.h"

namespace tautmark {

template <class Body>
struct EntryOf {
  const Entry* entry;
  const Body* body;
};

std::vector<const Entry*> entries_in_force(const Case& value);

// The same, each where the first of the entries that it corrects stood: a correction typed today of
// what was entered yesterday tells nothing of today.
std::vector<const Entry*> entries_in_order_of_work(const Case& value);

template <class Body>
std::vector<EntryOf<Body>> all_of_kind(const std::vector<const Entry*>& entries) {
  std::vector<EntryOf<Body>> found;
  for (const Entry* entry : entries)
    if (const auto* body = std::get_if<Body>(&entry->body)) found.push_back({entry, body});
  return found;
}

const Instrument* find_instrument(const Case& value, std::string_view name);

}  // namespace tautmark
