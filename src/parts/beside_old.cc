// SPDX-License-Identifier: Apache-2.0
#include "parts/beside_old.h"

#include <fmt/format.h>

#include <algorithm>

#include "base/text.h"
#include "casework/case_fields.h"
#include "parts/names.h"

namespace tautmark::parts {
namespace {

using Aspects = std::vector<BesideOld>;

bool has(const Aspects& all, BesideOld one) {
  return std::find(all.begin(), all.end(), one) != all.end();
}
void add_missing(Aspects& all, const Aspects& more) {
  for (const BesideOld one : more)
    if (!has(all, one)) all.push_back(one);
}

std::string aspect_words(const Aspects& all) {
  std::vector<std::string> words;
  for (const BesideOld one : all) words.emplace_back(choice_name(one));
  return joined(words, ", ");
}

// Marks may have moved with an edition; the others make it another part.
bool proves_another_part(BesideOld aspect) { return aspect != BesideOld::marks; }

class Comparer {
 public:
  Comparer(const Drive& drive, const CaseSaid& said, std::vector<Conflict>& found)
      : drive_(drive), said_(said), found_(found) {}

  // What was found of a set holds of each part in it.
  void beside_old() {
    std::vector<Compared> all;
    for (const Said& said : said_.all)
      if (said.fate == Fate::fitted || said.fate == Fate::in_the_box)
        compare(all, said.part, said.bank, said.written, said.fate == Fate::fitted, said.entry);
    for (const DoneStep& done : said_.done)
      for (const std::string& part : done.step->fits)
        if (!is_put_back(part, done.step->bank))
          compare(all, part, done.step->bank, nullptr, true, done.entry);
    for (Compared& one : all) {
      for (const Compared& set : all)
        for (const PartSet* of : named(drive_, set.part, set.bank))
          if (banks_meet(of->bank, one.bank) && in_list(of->holds, one.part))
            add_missing(one.alike, set.alike);
      judge(one);
    }
  }

 private:
  void add(std::string subject, bool is_proven, std::string why, std::string next,
           std::vector<std::string> entries) {
    found_.push_back(
        {std::move(subject), is_proven, std::move(why), std::move(next), std::move(entries)});
  }

  struct Compared {
    std::string part{};
    std::optional<int> bank{};
    Aspects wanted{}, alike{}, differs{};
    bool is_fitted = false;
    std::vector<std::string> entries{};
  };

  void compare(std::vector<Compared>& all, const std::string& part, std::optional<int> bank,
               const PartEntry* written, bool is_fitted, const std::string& entry) const {
    auto at = std::find_if(all.begin(), all.end(), [&](const Compared& one) {
      return same_part(one.part, part) && banks_meet(one.bank, bank);
    });
    if (at == all.end()) {
      at = all.insert(all.end(), {part, bank});
      for (const PartSet* set : named(drive_, part, bank))
        add_missing(at->wanted, to_compare(*set));
      add_missing(at->wanted, to_compare(part));
    }
    at->is_fitted = at->is_fitted || is_fitted;
    at->entries.push_back(entry);
    if (written == nullptr) return;
    add_missing(at->alike, written->beside_old);
    add_missing(at->differs, written->differs);
  }

  [[nodiscard]] bool is_put_back(const std::string& part, std::optional<int> bank) const {
    const Said* last = last_said(drive_, said_, part, bank);
    return last != nullptr && is_kept(last->fate);
  }

  void judge(const Compared& one) {
    const std::string subject = part_words(one.part, one.bank);
    Aspects proven, doubtful, missing;
    for (const BesideOld aspect : one.differs)
      (proves_another_part(aspect) ? proven : doubtful).push_back(aspect);
    for (const BesideOld aspect : one.wanted)
      if (!has(one.alike, aspect) && !has(one.differs, aspect)) missing.push_back(aspect);
    if (!proven.empty())
      add(subject, true, fmt::format("new and old differ: {}", aspect_words(proven)),
          "do not fit it; ask for the part of exactly this engine and bank", one.entries);
    if (!doubtful.empty())
      add(subject, false, fmt::format("new and old differ: {}", aspect_words(doubtful)),
          "ask what the maker says of the other marks before it is fitted", one.entries);
    if (one.is_fitted && !missing.empty())
      add(subject, false, fmt::format("not compared with the old one: {}", aspect_words(missing)),
          "lay it beside the old one and enter what is alike", one.entries);
  }

  const Drive& drive_;
  const CaseSaid& said_;
  std::vector<Conflict>& found_;
};

}  // namespace

void add_beside_old(const Drive& drive, const CaseSaid& said, std::vector<Conflict>& found) {
  Comparer(drive, said, found).beside_old();
}

Aspects to_compare(std::string_view part) {
  const std::string name = folded(part);
  const auto says = [&](std::string_view word) { return name.find(word) != std::string::npos; };
  if (says("bolt") || says("washer") || says("seal")) return {};
  if (says("tensioner")) {
    if (says("arm")) return {};
    return {BesideOld::feed_hole, BesideOld::plunger_side};
  }
  if (name.starts_with("chain")) return {BesideOld::links, BesideOld::marks};
  if (name.starts_with("belt")) return {BesideOld::teeth, BesideOld::marks};
  if (says("sprocket") || says("phaser")) return {BesideOld::teeth, BesideOld::marks};
  return {};
}

Aspects to_compare(const PartSet& set) {
  Aspects all;
  for (const std::string& held : set.holds) add_missing(all, to_compare(held));
  return all;
}

}  // namespace tautmark::parts
