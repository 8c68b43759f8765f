// SPDX-License-Identifier: Apache-2.0
#include "drive/compare.h"

#include <fmt/format.h>

#include <algorithm>
#include <map>

#include "base/text.h"
#include "drive/drive_fields.h"

namespace tautmark {
namespace {

// Fields in the order of the file: readable path and text.
using Fields = std::vector<std::pair<std::string, std::string>>;

// What an item of a list is called: by its name, not by its place in the list.
std::string item_name(const Node& item, std::size_t index) {
  const auto text = [&](std::string_view key) {
    const Node* found = item.find(key);
    return found != nullptr && found->shape == NodeShape::scalar ? found->text : std::string();
  };
  if (auto name = text("name"); !name.empty()) return name;
  if (auto number = text("number"); !number.empty()) return number;
  if (const auto quantity = text("quantity"); !quantity.empty())
    return fmt::format("{} at {}", quantity, text("at"));
  if (const auto from = text("from"); !from.empty())
    return fmt::format("{} to {}", from, text("to"));
  if (const auto at = text("at"); !at.empty())
    return fmt::format("{}{}{}", at, text("speed").empty() ? "" : " at ", text("speed"));
  if (auto chain = text("chain"); !chain.empty()) return chain;
  return fmt::format("{}", index + 1);
}

void add_fields(const Node& node, const std::string& path, Fields& out) {
  const auto below = [&](std::string name) {
    std::replace(name.begin(), name.end(), '_', ' ');
    return path.empty() ? name : fmt::format("{} / {}", path, name);
  };
  if (node.shape == NodeShape::map) {
    for (const Member& member : node.members) add_fields(member.value, below(member.key.text), out);
  } else if (node.shape == NodeShape::list) {
    const bool plain = std::all_of(node.items.begin(), node.items.end(), [](const Node& item) {
      return item.shape == NodeShape::scalar;
    });
    if (plain) {
      std::vector<std::string> texts;
      for (const Node& item : node.items) texts.push_back(item.text);
      out.emplace_back(path, joined(texts, "; "));
      return;
    }
    std::map<std::string, int> seen;
    for (std::size_t i = 0; i < node.items.size(); ++i) {
      std::string name = item_name(node.items[i], i);
      if (const int again = seen[name]++; again > 0) name += fmt::format(" ({})", again + 1);
      add_fields(node.items[i], below(name), out);
    }
  } else {
    out.emplace_back(path, node.text);
  }
}

Fields fields_of(const Drive& drive) {
  Fields all;
  add_fields(write_record(drive), "", all);
  std::erase_if(
      all, [](const auto& field) { return field.first == "tautmark" || field.first == "name"; });
  return all;
}

const std::string* find(const Fields& fields, const std::string& path) {
  const auto found = std::find_if(fields.begin(), fields.end(),
                                  [&](const auto& field) { return field.first == path; });
  return found == fields.end() ? nullptr : &found->second;
}

std::string links_text(const Chain& chain) {
  return chain.links ? fmt::format("{} links", *chain.links) : "-";
}

std::string counts_text(const Chain& chain) {
  std::vector<std::string> counts;
  for (const Strand& strand : chain.strands)
    counts.push_back(fmt::format("{} to {} {}", strand.from, strand.to, strand.links));
  return counts.empty() ? "-" : joined(counts, "; ");
}

std::vector<DriveDifference> biting(const Drive& a, const Drive& b) {
  std::vector<DriveDifference> found;
  const auto add = [&](const std::string& what, const std::string& one, const std::string& other,
                       const char* sentence) {
    if (one != other) found.push_back({what, one, other, sentence});
  };
  for (const Chain& chain : a.chains) {
    const auto other = std::find_if(b.chains.begin(), b.chains.end(), [&](const Chain& candidate) {
      return folded(candidate.name) == folded(chain.name);
    });
    if (other == b.chains.end()) continue;
    add(chain.name, links_text(chain), links_text(*other),
        "a chain with another number of links does not fit");
    add(chain.name + ", counts between marks", counts_text(chain), counts_text(*other),
        "set by the other's counts, a sprocket stands whole teeth off");
    add(chain.name + ", marked links", marked_links_text(chain), marked_links_text(*other),
        "set by the other's marked links, a sprocket stands whole teeth off");
  }
  if (found.empty()) return found;
  constexpr const char* kTold = "how to see which of the two it is";
  const auto told = [](const Drive& drive) {
    return drive.recognise.empty() ? fmt::format("{} does not say how to tell it", drive.name)
                                   : joined(drive.recognise, "; ");
  };
  found.push_back({"told by", told(a), told(b), kTold});
  return found;
}

}  // namespace

std::string marked_links_text(const Chain& chain) {
  std::vector<std::string> marks;
  for (const ChainMark& mark : chain.marks) {
    const int links = mark.links.value_or(1);
    marks.push_back(fmt::format("{}: {}{}", mark.at, mark.color ? *mark.color + " " : "",
                                links == 1   ? std::string("single link")
                                : links == 2 ? std::string("pair, straddling the mark")
                                             : fmt::format("{} links", links)));
  }
  if (!marks.empty()) return joined(marks, "; ");
  return chain.marked_links.value_or("-");
}

DriveComparison compare_drives(const Drive& here, const Drive& there) {
  const Fields a = fields_of(here), b = fields_of(there);
  DriveComparison compared{biting(here, there), {}, 0};
  for (const auto& [path, text] : a) {
    const std::string* other = find(b, path);
    if (other != nullptr && *other == text)
      ++compared.same;
    else
      compared.fields.push_back({path, text, other != nullptr ? *other : "-", {}});
  }
  for (const auto& [path, text] : b)
    if (find(a, path) == nullptr) compared.fields.push_back({path, "-", text, {}});
  return compared;
}

}  // namespace tautmark
