// SPDX-License-Identifier: Apache-2.0
#include "parts/conflicts.h"

#include <fmt/format.h>

#include <algorithm>

#include "base/text.h"
#include "parts/beside_old.h"
#include "parts/items.h"
#include "parts/names.h"
#include "parts/said.h"

namespace tautmark::parts {
namespace {

// The banks of the definition's parts and sets of that name; empty bank: of every one.
std::vector<std::optional<int>> banks_of(const Drive& drive, std::string_view part) {
  std::vector<std::optional<int>> banks;
  for (const PartSet* one : named(drive, part, {})) banks.push_back(one->bank);
  for (const PartSet* one : holding(drive, part, {})) banks.push_back(one->bank);
  return banks;
}

// The one other bank that a part of this name is of, where it cannot be of `bank`.
std::optional<int> other_bank(const Drive& drive, std::string_view part, int bank) {
  if (const auto in_name = bank_in(part)) {
    if (*in_name != bank) return in_name;
    return std::nullopt;
  }
  const auto banks = banks_of(drive, part);
  if (banks.empty() || std::any_of(banks.begin(), banks.end(),
                                   [&](std::optional<int> one) { return banks_meet(one, bank); }))
    return std::nullopt;
  return banks.front();
}

// The links of the drive's chains of that bank, where the name says others.
std::optional<int> other_links(const Drive& drive, std::string_view part, std::optional<int> bank) {
  const auto links = links_in(part);
  if (!links) return std::nullopt;
  std::optional<int> of_drive;
  for (const Chain& chain : drive.chains) {
    if (!chain.links || !banks_meet(chain.bank, bank)) continue;
    if (*chain.links == *links) return std::nullopt;
    of_drive = chain.links;
  }
  return of_drive;
}

std::string links_words(std::string_view part, int links) {
  return fmt::format("{}; the chain of this engine has {} links", part, links);
}

// A set as far as the case speaks of it.
struct SetUsed {
  const PartSet* set = nullptr;
  std::vector<const Said*> boxes{};
  std::vector<std::string> by{};      // entries that order it
  std::vector<std::string> fitted{};  // entries by which something of it was fitted
};

class Finder {
 public:
  Finder(const Drive& drive, const Case& value)
      : drive_(drive), said_(said_in(drive, value)), items_(items_of(drive)) {}

  std::vector<Conflict> all() {
    for (const Said& said : said_.all) {
      if (said.written == nullptr) continue;
      banks(said);
      links(said.part, said.bank, said);
      for (const std::string& found : said.written->found) in_box(found, said);
      if (said.fate == Fate::fitted) decided(said);
    }
    const std::vector<SetUsed> sets = sets_used();
    for (const SetUsed& used : sets) {
      edition(used);
      opened(used);
      apart_and_in_set(used);
    }
    twice(sets);
    add_beside_old(drive_, said_, found_);
    return std::move(found_);
  }

 private:
  void add(std::string subject, bool is_proven, std::string why, std::string next,
           std::vector<std::string> entries) {
    found_.push_back(
        {std::move(subject), is_proven, std::move(why), std::move(next), std::move(entries)});
  }

  void banks(const Said& said) {
    const std::optional<int> entered = said.written->bank;
    const std::string subject = part_words(said.part, entered);
    if (entered) {
      if (const auto other = other_bank(drive_, said.part, *entered))
        add(subject, true,
            fmt::format("the part is of bank {}, and it is entered for bank {}", *other, *entered),
            "the banks are not alike: take the one of the right bank", {said.entry});
      return;
    }
    if (said.bank || is_kept(said.fate)) return;
    const auto all = banks_of(drive_, said.part);
    const bool of_several =
        std::count_if(all.begin(), all.end(), [](std::optional<int> one) { return one; }) > 1;
    if (of_several)
      add(subject, false, "each bank has its own, and the entry does not say for which it is",
          "enter it again with its bank", {said.entry});
  }

  void links(const std::string& part, std::optional<int> bank, const Said& said) {
    if (is_kept(said.fate) || said.fate == Fate::rejected) return;
    if (const auto links = other_links(drive_, part, bank))
      add(part_words(part, bank), true, links_words(part, *links),
          "do not fit it: another number of links is another chain", {said.entry});
  }

  void in_box(const std::string& found, const Said& box) {
    links(found, box.bank, box);
    if (!box.bank) return;
    if (const auto other = other_bank(drive_, found, *box.bank))
      add(part_words(box.part, box.bank), true,
          fmt::format("in the box lay a part of bank {}: {}", *other, found),
          "the banks are not alike: take the one of the right bank", {box.entry});
  }

  // An order, a rejected old part, a decision; or what the work uses up anyway.
  void decided(const Said& fitted) {
    const auto speaks_of_it = [&](const Said& said) {
      if (&said == &fitted || said.fate == Fate::in_the_box || said.fate == Fate::fitted ||
          !is_changed(said.fate) || !banks_meet(said.bank, fitted.bank))
        return false;
      if (same_part(said.part, fitted.part)) return true;
      const auto sets = named(drive_, said.part, said.bank);
      return std::any_of(sets.begin(), sets.end(),
                         [&](const PartSet* set) { return in_list(set->holds, fitted.part); });
    };
    const auto uses_up = [&](const Item& item) {
      return banks_meet(item.bank, fitted.bank) && is_used_once(item) &&
             (item.step != nullptr || !item.goes_with.empty()) &&
             (same_part(item.part, fitted.part) ||
              std::any_of(item.from.begin(), item.from.end(),
                          [&](const PartSet* set) { return same_part(set->name, fitted.part); }));
    };
    if (std::any_of(said_.all.begin(), said_.all.end(), speaks_of_it) ||
        std::any_of(items_.begin(), items_.end(), uses_up))
      return;
    add(part_words(fitted.part, fitted.bank), false,
        "fitted, and no entry says that anybody decided on it",
        "enter the decision with its reason", {fitted.entry});
  }

  [[nodiscard]] std::vector<SetUsed> sets_used() const {
    std::vector<SetUsed> used;
    for (const PartSet& set : drive_.parts) {
      if (!is_set(set)) continue;
      SetUsed one{.set = &set};
      for (const Said& said : said_.all) {
        if (!banks_meet(said.bank, set.bank)) continue;
        const bool is_it = same_part(said.part, set.name);
        if (is_it && said.fate == Fate::in_the_box) one.boxes.push_back(&said);
        if (is_it && said.fate == Fate::ordered) one.by.push_back(said.entry);
        if (said.fate == Fate::fitted && (is_it || is_from(set, said.part, said.bank)))
          one.fitted.push_back(said.entry);
      }
      for (const DoneStep& done : said_.done)
        for (const std::string& part : done.step->fits)
          if (banks_meet(done.step->bank, set.bank) && is_from(set, part, done.step->bank))
            one.fitted.push_back(done.entry);
      if (!one.boxes.empty() || !one.by.empty() || !one.fitted.empty()) used.push_back(one);
    }
    return used;
  }

  // Nothing else is known to bring the part: it was not ordered by itself, nor put back.
  [[nodiscard]] bool is_from(const PartSet& set, std::string_view part,
                             std::optional<int> bank) const {
    if (!in_list(set.holds, part)) return false;
    return std::none_of(said_.all.begin(), said_.all.end(), [&](const Said& said) {
      return same_part(said.part, part) && banks_meet(said.bank, bank) &&
             (said.fate == Fate::ordered || said.fate == Fate::reused);
    });
  }

  void edition(const SetUsed& used) {
    const PartSet& set = *used.set;
    const std::string subject = part_words(set.name, set.bank);
    if (!set.edition || !set.date) {
      add(subject, false,
          fmt::format("the definition gives no {} of its list, so what it holds may have changed",
                      set.edition ? "date" : "edition"),
          "count what lies in the box against what is needed", used.by);
      return;
    }
    for (const Said* box : used.boxes) {
      const PartEntry& written = *box->written;
      if (!written.edition || !written.date) {
        add(subject, false, "edition and date on the box are not entered", "read them off the box",
            {box->entry});
      } else if (folded(*written.edition) != folded(*set.edition) ||
                 date_order(*written.date) != date_order(*set.date)) {
        add(subject, false,
            fmt::format("the box is of edition {}, {}; the definition knows {}, {}",
                        *written.edition, written.date->text, *set.edition, set.date->text),
            "count what lies in it against what is needed; ask what has changed", {box->entry});
      }
    }
  }

  void opened(const SetUsed& used) {
    const PartSet& set = *used.set;
    const std::string subject = part_words(set.name, set.bank);
    if (used.boxes.empty()) {
      if (!used.fitted.empty())
        add(subject, false, "something of it was fitted, and no entry says that its box was opened",
            "enter the box as opened, with what lay in it", used.fitted);
      return;
    }
    std::vector<std::string> found, entries;
    for (const Said* box : used.boxes) {
      found.insert(found.end(), box->written->found.begin(), box->written->found.end());
      entries.push_back(box->entry);
    }
    if (found.empty()) {
      add(subject, false, "its box was opened, and no entry says what lay in it",
          "enter what lay in it, piece by piece", entries);
      return;
    }
    std::vector<std::string> missing, besides;
    for (const std::string& held : set.holds)
      if (!in_list(found, held)) missing.push_back(held);
    for (const std::string& one : found)
      if (!in_list(set.holds, one)) besides.push_back(one);
    if (!missing.empty())
      add(subject, false, fmt::format("not in the box: {}", joined(missing, ", ")),
          "order it apart, or have the set completed", entries);
    if (!besides.empty())
      add(subject, false, fmt::format("in the box, and not on its list: {}", joined(besides, ", ")),
          "ask whether it is the right set", entries);
  }

  // Ordered by itself, and again in a set that was ordered or opened.
  void apart_and_in_set(const SetUsed& used) {
    if (used.by.empty() && used.boxes.empty()) return;
    for (const Said& said : said_.all)
      if (said.fate == Fate::ordered && banks_meet(said.bank, used.set->bank) &&
          in_list(used.set->holds, said.part))
        add(part_words(said.part, said.bank), false,
            fmt::format("ordered by itself, and it is also in {}",
                        part_words(used.set->name, used.set->bank)),
            "one of the two goes back", {said.entry});
  }

  void twice(const std::vector<SetUsed>& sets) {
    for (std::size_t i = 0; i < sets.size(); ++i)
      for (std::size_t k = i + 1; k < sets.size(); ++k) {
        const SetUsed &a = sets[i], &b = sets[k];
        const auto is_here = [](const SetUsed& one) {
          return !one.by.empty() || !one.boxes.empty();
        };
        if (!banks_meet(a.set->bank, b.set->bank) || !is_here(a) || !is_here(b)) continue;
        std::vector<std::string> both;
        for (const std::string& held : a.set->holds)
          if (in_list(b.set->holds, held)) both.push_back(held);
        if (both.empty()) continue;
        std::vector<std::string> entries = a.by;
        entries.insert(entries.end(), b.by.begin(), b.by.end());
        add(part_words(a.set->name, a.set->bank), false,
            fmt::format("this is also in {}: {}", part_words(b.set->name, b.set->bank),
                        joined(both, ", ")),
            "one of the two goes back", entries);
      }
  }

  const Drive& drive_;
  CaseSaid said_;
  std::vector<Item> items_;
  std::vector<Conflict> found_;
};

}  // namespace

std::vector<Conflict> conflicts(const Drive& drive, const Case& value) {
  return Finder(drive, value).all();
}

std::vector<Conflict> definition_conflicts(const Drive& drive) {
  std::vector<Conflict> found;
  for (std::size_t i = 0; i < drive.parts.size(); ++i) {
    const PartSet& set = drive.parts[i];
    const std::string subject = part_words(set.name, set.bank);
    for (const std::string& held : set.holds)
      if (const auto links = other_links(drive, held, set.bank))
        found.push_back({subject,
                         true,
                         links_words(held, *links),
                         "ask for the set of exactly this engine",
                         {}});
    for (std::size_t k = i + 1; k < drive.parts.size(); ++k) {
      const PartSet& other = drive.parts[k];
      if (!banks_meet(set.bank, other.bank)) continue;
      std::vector<std::string> both;
      for (const std::string& held : set.holds)
        if (in_list(other.holds, held)) both.push_back(held);
      if (!both.empty())
        found.push_back({subject,
                         false,
                         fmt::format("this is also in {}: {}", part_words(other.name, other.bank),
                                     joined(both, ", ")),
                         "one of the two is enough",
                         {}});
    }
  }
  return found;
}

}  // namespace tautmark::parts
