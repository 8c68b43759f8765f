// SPDX-License-Identifier: Apache-2.0
#include "parts/list.h"

#include <fmt/format.h>

#include <algorithm>
#include <map>

#include "base/text.h"
#include "drive/places.h"
#include "parts/items.h"
#include "parts/names.h"
#include "parts/said.h"

namespace tautmark::parts {
namespace {

constexpr std::string_view kPhaserBolt = "phaser bolt";

std::string said_words(const Said& said) {
  static constexpr std::string_view kActs[] = {"ordered",          "fitted", "old one rejected",
                                               "decided: replace", "reused", "decided: keep"};
  const std::string_view act = kActs[static_cast<std::size_t>(said.fate)];
  return said.reason.empty() ? std::string(act) : fmt::format("{}: {}", act, said.reason);
}

class Lister {
 public:
  Lister(const Drive& drive, const Case* value)
      : drive_(drive), has_case_(value != nullptr), items_(items_of(drive)) {
    if (value != nullptr) said_ = said_in(drive, *value);
  }

  List all(const std::vector<Doubt>& doubts) {
    for (const Item& item : items_) add(item);
    add_rest();
    for (const Doubt& doubt : doubts) add_doubt(doubt);
    if (drive_.procedure.empty()) without_procedure();
    list_.in_words = said_.in_words;
    return std::move(list_);
  }

 private:
  // No step says what comes out; what is used once is known all the same.
  void without_procedure() {
    open("", {}, "the definition has no procedure, so what the work uses up is not known");
    for (const Fastener& bolt : drive_.fasteners)
      if (bolt.single_use != false)
        open(bolt.name, bolt.bank,
             bolt.single_use ? "used once: a new one wherever it comes out"
                             : "single use not said: a new one wherever it comes out");
  }

  void add(const Item& item) {
    if (!item.is_defined)
      open(item.part, item.bank,
           "not in the definition: how many, whether it is used once and in which set");
    if (!has_case_) {
      of_definition(item);
    } else if (!item.goes_with.empty()) {
      with_others(item);
    } else {
      by_itself(item);
    }
  }

  void of_definition(const Item& item) {
    if (item.step == nullptr || !is_used_once(item)) return;
    Row row = row_of(item);
    const int others = std::max<int>(1, static_cast<int>(item.goes_with.size()));
    if (row.count) *row.count *= others;
    row.why.push_back(used_up(item));
    if (!item.goes_with.empty())
      row.why.push_back(
          {fmt::format("only where this is changed: {}", joined(item.goes_with, ", ")), ""});
    list_.rows.push_back(std::move(row));
  }

  // What is changed on its own: by the procedure because it is used once, or by a decision.
  void by_itself(const Item& item) {
    const Said* said = last_said(drive_, said_, item.part, item.bank);
    const bool is_old = said != nullptr && is_kept(said->fate);
    const bool uses_up = item.step != nullptr && is_used_once(item);
    if (is_old && item.step != nullptr) again(item, *said);
    if (is_old && (!uses_up || item.single_use != true)) return not_ordered(item, *said);
    if (!uses_up && said == nullptr) {
      if (item.step != nullptr)
        open(item.part, item.bank, "nothing is decided: a new one, or the old one again");
      return;
    }
    Row row = row_of(item);
    if (uses_up) row.why.push_back(used_up(item));
    if (said != nullptr && !is_old) row.why.push_back({said_words(*said), said->entry});
    // Of a set one is ordered, whatever it holds.
    if (!uses_up && !is_by_set(item, *said) && said->count) row.count = said->count;
    keep(std::move(row));
  }

  void again(const Item& item, const Said& said) {
    if (item.single_use == true)
      open(item.part, item.bank, "entered as going in again, and it is used once", {said.entry});
  }

  // What is changed with others, so many for each of them.
  void with_others(const Item& item) {
    Row row = row_of(item);
    const std::optional<int> each = item.count;
    int certain = 0, only_if = 0;
    std::vector<std::string> undecided;
    const std::string* out = bolt_out(item);
    const Said* kept = nullptr;
    if (const Said* own = last_said(drive_, said_, item.part, item.bank);
        own != nullptr && is_kept(own->fate))
      again(item, *own);
    for (const std::string& other : item.goes_with) {
      const Said* said = last_said(drive_, said_, other, item.bank);
      if (said != nullptr && is_changed(said->fate)) {
        ++certain;
        row.why.push_back({fmt::format("goes with what is changed: {}", other), said->entry});
      } else if (out != nullptr) {
        ++certain;
      } else if (said != nullptr) {
        ++only_if;
        kept = said;
        row.only_if_words = fmt::format("only if it comes off: {}", other);
      } else {
        undecided.push_back(other);
      }
    }
    if (out != nullptr)
      row.why.push_back({"the chain or the bolt was off, so the phaser bolt is new", *out});
    if (const Said* said = last_said(drive_, said_, item.part, item.bank);
        said != nullptr && is_changed(said->fate)) {
      row.why.push_back({said_words(*said), said->entry});
      if (certain == 0) {
        row.count = said->count;
        return keep(std::move(row));
      }
    }
    if (!undecided.empty())
      open(item.part, item.bank,
           fmt::format("goes with this, on which nothing is decided: {}", joined(undecided, ", ")));
    if (certain == 0) {
      if (kept != nullptr)
        list_.not_ordered.push_back({item.part, item.bank,
                                     fmt::format("{}; {}", row.only_if_words, said_words(*kept)),
                                     kept->entry});
      return;
    }
    row.count = each ? std::optional(*each * certain) : std::nullopt;
    row.only_if = each.value_or(1) * only_if;
    if (only_if == 0) row.only_if_words.clear();
    keep(std::move(row));
  }

  // Entries about what is no part of the definition, or of no procedure.
  void add_rest() {
    for (const Said& said : said_.all) {
      if (said.fate == Fate::in_the_box || is_item(said)) continue;
      if (last_said(drive_, said_, said.part, said.bank) != &said) continue;
      if (is_kept(said.fate)) {
        list_.not_ordered.push_back({said.part, said.bank, reason_or_none(said), said.entry});
        continue;
      }
      const bool is_known = !named(drive_, said.part, said.bank).empty();
      Row row{.part = said.part, .bank = said.bank, .count = said.count};
      row.standing = said.fate == Fate::fitted    ? Standing::fitted
                     : said.fate == Fate::ordered ? Standing::ordered
                                                  : Standing::to_order;
      for (const PartSet* set : holding(drive_, said.part, said.bank))
        row.from.push_back(set->name);
      row.why.push_back({said_words(said), said.entry});
      if (!is_known && row.from.empty())
        open(said.part, said.bank, "not in the definition: what goes with it is not known",
             {said.entry});
      keep(std::move(row));
    }
  }

  // Of a set: that one of what it holds is a part of the list.
  [[nodiscard]] bool is_item(const Said& said) const {
    const auto sets = named(drive_, said.part, said.bank);
    return std::any_of(items_.begin(), items_.end(), [&](const Item& item) {
      if (!banks_meet(item.bank, said.bank)) return false;
      return same_part(item.part, said.part) ||
             std::any_of(sets.begin(), sets.end(),
                         [&](const PartSet* set) { return in_list(set->holds, item.part); });
    });
  }

  [[nodiscard]] bool is_by_set(const Item& item, const Said& said) const {
    return !same_part(item.part, said.part);
  }

  [[nodiscard]] const std::string* bolt_out(const Item& item) const {
    if (!same_part(item.part, kPhaserBolt)) return nullptr;
    for (const auto& [bank, entry] : said_.bolt_out)
      if (banks_meet(bank == 0 ? std::nullopt : std::optional(bank), item.bank)) return &entry;
    return nullptr;
  }

  [[nodiscard]] Why used_up(const Item& item) const {
    const std::string once =
        item.single_use ? "used once" : "single use not said, so treated as used once";
    for (const DoneStep& done : said_.done)
      if (done.counts && done.step == item.step)
        return {fmt::format("{}; this step is done: {}", once, item.step->name), done.entry};
    return {fmt::format("{}; this step fits it: {}", once, item.step->name), ""};
  }

  [[nodiscard]] Row row_of(const Item& item) const {
    Row row{.part = item.part, .bank = item.bank, .count = item.count};
    for (const PartSet* set : item.from) row.from.push_back(set->name);
    row.standing = standing(item);
    return row;
  }

  [[nodiscard]] Standing standing(const Item& item) const {
    Standing now = Standing::to_order;
    for (const Said& said : said_.all) {
      if (!banks_meet(said.bank, item.bank)) continue;
      const auto sets = named(drive_, said.part, said.bank);
      const bool by_set = std::any_of(sets.begin(), sets.end(), [&](const PartSet* set) {
        return banks_meet(set->bank, item.bank) && in_list(set->holds, item.part);
      });
      if (!by_set && !same_part(said.part, item.part)) continue;
      const bool in_box =
          said.fate == Fate::in_the_box && (!by_set || in_list(said.written->found, item.part));
      if (said.fate == Fate::ordered) now = std::max(now, Standing::ordered);
      if (in_box) now = std::max(now, Standing::in_the_box);
      // What was fitted came out again.
      if (said.fate == Fate::rejected && now == Standing::fitted) now = Standing::to_order;
      if (said.fate == Fate::fitted) now = Standing::fitted;
    }
    for (const DoneStep& done : said_.done)
      if (done.counts && done.step == item.step) now = Standing::fitted;
    return now;
  }

  // Fewer ordered than needed is open.
  void keep(Row row) {
    int ordered = 0;
    std::vector<std::string> entries;
    for (const Said& said : said_.all) {
      if (said.fate != Fate::ordered || !same_part(said.part, row.part) ||
          !banks_meet(said.bank, row.bank))
        continue;
      ordered += said.count.value_or(row.count.value_or(1));
      entries.push_back(said.entry);
    }
    if (!entries.empty() && row.count && ordered < *row.count)
      open(row.part, row.bank, fmt::format("{} needed, {} ordered", *row.count, ordered), entries);
    if (!row.count) open(row.part, row.bank, "how many is not said");
    list_.rows.push_back(std::move(row));
  }

  static std::string reason_or_none(const Said& said) {
    return said.reason.empty() ? said_words(said) + ", no reason entered" : said_words(said);
  }

  void not_ordered(const Item& item, const Said& said) {
    list_.not_ordered.push_back({item.part, item.bank, reason_or_none(said), said.entry});
  }

  void open(const std::string& part, std::optional<int> bank, std::string words,
            std::vector<std::string> entries = {}) {
    list_.open.push_back({part, bank, std::move(words), std::move(entries)});
  }

  // Words by which a part of the list is the one at this place.
  [[nodiscard]] static std::vector<std::string> words_of(const EnginePlace& place) {
    switch (place.type) {
      case PlaceType::chain:
        return {"chain of", "chain,"};
      case PlaceType::tensioner:
        return {"tensioner with", "tensioner of"};
      case PlaceType::guide:
        return {place.guide->name};
      case PlaceType::phaser: {
        const std::string cam = replaced(folded(place.camshaft->name), "camshaft", "phaser");
        return {cam};
      }
      case PlaceType::journal:
        return {"cylinder head", "camshaft"};
      default:
        return {};
    }
  }

  [[nodiscard]] bool is_decided(const EnginePlace& place,
                                const std::vector<std::string>& words) const {
    const auto bank = place.bank               ? place.bank
                      : place.chain != nullptr ? place.chain->bank
                                               : std::nullopt;
    const auto is = [&](const std::string& part, std::optional<int> of) {
      const std::string name = folded(part) + ",";
      return banks_meet(bank, of) && std::any_of(words.begin(), words.end(), [&](const auto& one) {
               return name.starts_with(folded(one)) || name == folded(one) + ",";
             });
    };
    return std::any_of(list_.rows.begin(), list_.rows.end(),
                       [&](const Row& row) { return is(row.part, row.bank); }) ||
           std::any_of(list_.not_ordered.begin(), list_.not_ordered.end(),
                       [&](const NotOrdered& row) { return is(row.part, row.bank); });
  }

  void add_doubt(const Doubt& doubt) {
    const std::vector<EnginePlace> places = places_of(drive_);
    const EnginePlace* place = find_place(places, doubt.place);
    if (place == nullptr) return;
    const std::vector<std::string> words = words_of(*place);
    if (words.empty() || is_decided(*place, words)) return;
    const std::string open_words = fmt::format("doubted, and nothing is decided: {}", doubt.words);
    for (Open& known : list_.open)
      if (known.part == doubt.place && known.words == open_words) return;
    open(doubt.place, {}, open_words);
  }

  const Drive& drive_;
  bool has_case_;
  std::vector<Item> items_;
  CaseSaid said_;
  List list_;
};

}  // namespace

std::string_view standing_text(Standing standing) {
  static constexpr std::string_view kTexts[] = {"to order", "ordered", "in the box", "fitted"};
  return kTexts[static_cast<std::size_t>(standing)];
}

std::vector<SetSeen> sets_of(const Drive& drive, const Case* value) {
  const CaseSaid said = value != nullptr ? said_in(drive, *value) : CaseSaid{};
  std::vector<SetSeen> sets;
  for (const PartSet& set : drive.parts) {
    if (!is_set(set)) continue;
    SetSeen seen{.set = &set};
    for (const Said& one : said.all) {
      if (!same_part(one.part, set.name) || !banks_meet(one.bank, set.bank)) continue;
      if (one.fate == Fate::ordered) seen.ordered.push_back(one.entry);
      if (one.fate != Fate::in_the_box) continue;
      const PartEntry& box = *one.written;
      seen.opened.push_back(one.entry);
      seen.found.insert(seen.found.end(), box.found.begin(), box.found.end());
      seen.alike.insert(seen.alike.end(), box.beside_old.begin(), box.beside_old.end());
      seen.differs.insert(seen.differs.end(), box.differs.begin(), box.differs.end());
    }
    sets.push_back(std::move(seen));
  }
  return sets;
}

List parts_list(const Drive& drive, const Case* value, const std::vector<Doubt>& doubts) {
  return Lister(drive, value).all(doubts);
}

}  // namespace tautmark::parts
