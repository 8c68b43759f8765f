// SPDX-License-Identifier: Apache-2.0
// `tautmark drive compare`: two definitions field by field.
#include <fmt/format.h>

#include <CLI/CLI.hpp>
#include <algorithm>
#include <cstdio>
#include <map>
#include <memory>

#include "base/text.h"
#include "cli/commands.h"
#include "cli/drive_sheet.h"
#include "cli/words.h"
#include "drive/drive_fields.h"

namespace tautmark::cli {
namespace {

struct CompareArguments {
  std::string first, second;
  std::vector<std::string> drives;
};

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

// Long texts go on in further lines of their columns.
Rows folded_rows(const Rows& rows) {
  constexpr int kWidest = 42;
  Rows out;
  for (const auto& row : rows) {
    std::vector<std::vector<std::string>> cells;
    std::size_t lines = 1;
    for (const std::string& cell : row) {
      cells.push_back(split(wrapped(cell, kWidest), '\n'));
      lines = std::max(lines, cells.back().size());
    }
    for (std::size_t line = 0; line < lines; ++line) {
      std::vector<std::string> part;
      part.reserve(cells.size());
      for (const auto& cell : cells) part.push_back(line < cell.size() ? cell[line] : "");
      out.push_back(std::move(part));
    }
  }
  return out;
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

// What costs an engine when one variant is taken for the other, before everything else.
Rows biting_rows(const Drive& a, const Drive& b) {
  Rows rows = {{"what bites", a.name, b.name}};
  const auto add = [&](const std::string& what, const std::string& one, const std::string& other) {
    if (one != other) rows.push_back({what, one, other});
  };
  for (const Chain& chain : a.chains) {
    const auto other = std::find_if(b.chains.begin(), b.chains.end(), [&](const Chain& candidate) {
      return folded(candidate.name) == folded(chain.name);
    });
    if (other == b.chains.end()) continue;
    add(chain.name, links_text(chain), links_text(*other));
    add(chain.name + ", counts between marks", counts_text(chain), counts_text(*other));
    add(chain.name + ", marked links", marked_links_text(chain), marked_links_text(*other));
  }
  for (const auto* drive : {&a, &b})
    if (drive->recognise.empty())
      rows.push_back({"told by", "", fmt::format("{} does not say how to tell it", drive->name)});
  if (!a.recognise.empty() && !b.recognise.empty())
    rows.push_back({"told by", joined(a.recognise, "; "), joined(b.recognise, "; ")});
  return rows;
}

int run_compare(const CompareArguments& arguments) {
  const auto first = load_drive(arguments.first, drive_folders(arguments.drives, arguments.first));
  if (!first) return report_input(first.error());
  const auto second =
      load_drive(arguments.second, drive_folders(arguments.drives, arguments.second));
  if (!second) return report_input(second.error());
  const Fields a = fields_of(first->drive);
  const Fields b = fields_of(second->drive);
  Rows rows = {{"", first->drive.name, second->drive.name}};
  int same = 0;
  for (const auto& [path, text] : a) {
    const std::string* other = find(b, path);
    if (other != nullptr && *other == text)
      ++same;
    else
      rows.push_back({path, text, other != nullptr ? *other : "-"});
  }
  for (const auto& [path, text] : b)
    if (find(a, path) == nullptr) rows.push_back({path, "-", text});
  if (const Rows biting = biting_rows(first->drive, second->drive); biting.size() > 2)
    fmt::print("{}\n", table_text(folded_rows(biting)));
  if (rows.size() > 1) std::fputs(table_text(folded_rows(rows)).c_str(), stdout);
  fmt::print("{}{} fields differ, {} are the same\n", rows.size() > 1 ? "\n" : "", rows.size() - 1,
             same);
  return kExitPass;
}

}  // namespace

void add_drive_compare(CLI::App& drive, int& status) {
  auto arguments = std::make_shared<CompareArguments>();
  CLI::App* command = drive.add_subcommand("compare", "Where two definitions differ, side by side");
  command->add_option("A", arguments->first, "Name of a drive, or a drive file")->required();
  command->add_option("B", arguments->second, "The other one")->required();
  command
      ->add_option("--drives", arguments->drives,
                   "Folder where drive files are looked up; may be repeated")
      ->allow_extra_args(false);
  command->footer(
      "A variant is compared with what it takes over from its base. Texts are compared as\n"
      "typed: 1.102 in and 27.99 mm differ. Exit status: 0.");
  command->callback([arguments, &status] { status = run_compare(*arguments); });
}

}  // namespace tautmark::cli
