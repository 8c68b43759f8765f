// SPDX-License-Identifier: Apache-2.0
#include "casework/marks_check.h"

#include <fmt/format.h>

#include <algorithm>
#include <map>

#include "base/text.h"
#include "casework/mark_words.h"

namespace tautmark {
namespace {

// What a loop of this name goes around, in any candidate drive.
std::vector<std::string> sprockets_of(const LoadedCase& loaded, const std::string& chain_name) {
  std::vector<std::string> names;
  const auto add = [&](const std::string& name) {
    if (std::none_of(names.begin(), names.end(),
                     [&](const std::string& known) { return same_place(known, name); }))
      names.push_back(name);
  };
  for (const LoadedDrive& drive : loaded.drives)
    for (const Chain& chain : drive.drive.chains) {
      if (folded(chain.name) != folded(chain_name)) continue;
      for (const Strand& strand : chain.strands) {
        add(strand.from);
        add(strand.to);
      }
      for (const ChainMark& mark : chain.marks) add(mark.at);
      if (!chain.strands.empty()) continue;
      add("crank");
      for (const Bank& bank : drive.drive.banks)
        for (const Camshaft& camshaft : bank.camshafts)
          if (chain_of(drive.drive, bank, camshaft) == &chain)
            add(fmt::format("bank {} / {}", bank.number, camshaft.name));
      for (const Idler& idler : drive.drive.idlers)
        if (folded(idler.driven_by) == folded(chain.name) ||
            folded(idler.drives) == folded(chain.name))
          add(idler.name);
    }
  return names;
}

void check_sprocket(const CaseCheck& check, const std::vector<std::string>& known,
                    const std::string& name, const std::string& path) {
  if (known.empty() || name.empty() ||
      std::any_of(known.begin(), known.end(),
                  [&](const std::string& one) { return same_place(one, name); }))
    return;
  const auto near = nearest(name, known);
  check.error(path, fmt::format("this chain runs over no \"{}\"", name),
              near ? fmt::format("did you mean \"{}\"?", *near)
                   : fmt::format("known: {}", joined(known, "; ")));
}

void check_strands(const CaseCheck& check, const MarksSeen& marks, std::size_t index,
                   const std::vector<std::string>& known) {
  if (!marks.strands.empty() && !marks.counted)
    check.error(entry_path(index, "strands"), "what was counted between the marks?",
                "counted: pitches, from marked tooth to marked tooth; or both marks; or between");
  std::map<std::string, std::size_t> seen;
  for (std::size_t i = 0; i < marks.strands.size(); ++i) {
    const Strand& strand = marks.strands[i];
    const std::string path = entry_path(index, fmt::format("strands[{}]", i));
    check_sprocket(check, known, strand.from, path + ".from");
    check_sprocket(check, known, strand.to, path + ".to");
    const auto [first, is_new] = seen.emplace(folded(strand.from) + " > " + folded(strand.to), i);
    if (!is_new)
      check.error(
          path,
          fmt::format("the strand from {} to {} stands here a second time", strand.from, strand.to),
          "one count for each strand; a second count is an entry of its own",
          entry_path(index, fmt::format("strands[{}]", first->second)), "the first one is here");
  }
}

}  // namespace

void check_marks(const CaseCheck& check, const MarksSeen& marks, std::size_t index) {
  check.check_place(marks.chain, entry_path(index, "chain"), PlaceType::chain);
  constexpr std::size_t kMostStrands = 50;
  for (const auto& [size, key] :
       {std::pair{marks.strands.size(), "strands"}, std::pair{marks.sprockets.size(), "sprockets"}})
    if (size > kMostStrands) {
      check.error(entry_path(index, key), fmt::format("{} of them; no chain has so many", size));
      return;
    }
  if (check.is_full()) return;
  if (marks.strands.empty() && marks.sprockets.empty() && !marks.links_found && !marks.paint)
    check.error(entry_path(index), "nothing was counted and no mark was looked at",
                "strands with from, to, links; or sprockets with at, stands");
  const std::vector<std::string> known = sprockets_of(check.loaded(), marks.chain);
  check_strands(check, marks, index, known);
  for (std::size_t i = 0; i < marks.sprockets.size(); ++i) {
    const std::string path = entry_path(index, fmt::format("sprockets[{}]", i));
    check_sprocket(check, known, marks.sprockets[i].at, path + ".at");
    const auto words = read_mark_words(marks.sprockets[i].stands);
    if (!words) check.error(path + ".stands", words.error().problem, words.error().hint);
  }
}

}  // namespace tautmark
