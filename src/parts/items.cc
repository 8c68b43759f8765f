// SPDX-License-Identifier: Apache-2.0
#include "parts/items.h"

#include <algorithm>

#include "parts/names.h"

namespace tautmark::parts {
namespace {

class Items {
 public:
  explicit Items(const Drive& drive) : drive_(drive) {}

  std::vector<Item> all() {
    for (const ProcedureStep& step : drive_.procedure)
      for (const std::string& part : step.fits) add(part, step.bank, &step);
    for (const PartSet& part : drive_.parts)
      if (!is_set(part)) add_single(part, nullptr);
    return std::move(items_);
  }

 private:
  void keep(Item item) {
    const bool is_there = std::any_of(items_.begin(), items_.end(), [&](const Item& known) {
      return same_part(known.part, item.part) && banks_meet(known.bank, item.bank);
    });
    if (is_there) return;
    item.from = holding(drive_, item.part, item.bank);
    items_.push_back(std::move(item));
  }

  [[nodiscard]] const Fastener* fastener(const std::string& name) const {
    for (const Fastener& one : drive_.fasteners)
      if (same_part(one.name, name)) return &one;
    return nullptr;
  }

  // A part listed by itself. What it leaves out is of the fastener of that name.
  void add_single(const PartSet& part, const ProcedureStep* step) {
    Item item{.part = part.name,
              .bank = part.bank,
              .single_use = part.single_use,
              .count = part.count,
              .goes_with = part.goes_with,
              .step = step};
    if (const Fastener* bolt = fastener(part.name)) {
      if (!item.single_use) item.single_use = bolt->single_use;
      if (!item.count && bolt->bank == part.bank) item.count = bolt->count;
    }
    keep(std::move(item));
  }

  void add(const std::string& name, std::optional<int> bank, const ProcedureStep* step) {
    const auto parts = named(drive_, name, bank);
    for (const PartSet* part : parts) {
      if (!is_set(*part)) add_single(*part, step);
      for (const std::string& held : part->holds) add_held(*part, held, step);
    }
    if (!parts.empty()) return;
    const auto sets = holding(drive_, name, bank);
    for (const PartSet* set : sets) add_held(*set, name, step);
    if (!sets.empty()) return;
    const Fastener* bolt = fastener(name);
    if (bolt == nullptr) {
      keep({.part = name, .bank = bank, .step = step, .is_defined = false});
      return;
    }
    // Of bolts counted for the whole engine the share of one bank is not said.
    keep({.part = bolt->name,
          .bank = bolt->bank ? bolt->bank : bank,
          .single_use = bolt->single_use,
          .count = bolt->bank == bank || bolt->bank ? bolt->count : std::nullopt,
          .step = step});
  }

  void add_held(const PartSet& set, const std::string& held, const ProcedureStep* step) {
    keep({.part = held, .bank = set.bank, .single_use = set.single_use, .count = 1, .step = step});
  }

  const Drive& drive_;
  std::vector<Item> items_;
};

}  // namespace

std::vector<Item> items_of(const Drive& drive) { return Items(drive).all(); }

}  // namespace tautmark::parts
