// SPDX-License-Identifier: Apache-2.0
#include "cli/case_show.h"

#include <fmt/format.h>

#include <algorithm>
#include <map>

#include "base/text.h"
#include "casework/case_fields.h"
#include "cli/words.h"

namespace tautmark::cli {
namespace {

// These say what they are without their key.
constexpr std::string_view kPlainKeys[] = {"words",  "quantity", "place",   "values", "value",
                                           "codes",  "question", "answer",  "aspect", "variant",
                                           "remark", "part",     "decided", "step",   "file"};
constexpr std::string_view kHeadKeys[] = {"id", "at", "by", "replaces", "kind"};

template <std::size_t kSize>
bool is_one_of(std::string_view key, const std::string_view (&keys)[kSize]) {
  return std::find(std::begin(keys), std::end(keys), key) != std::end(keys);
}

std::string node_words(const Node& node) {
  std::vector<std::string> parts;
  for (const Node& item : node.items) parts.push_back(node_words(item));
  for (const Member& member : node.members) parts.push_back(node_words(member.value));
  return parts.empty() ? node.text : joined(parts, "; ");
}

std::string entry_words(const Entry& entry) {
  const Node node = write_record(entry);
  std::vector<std::string> parts;
  for (const Member& member : node.members) {
    const std::string& key = member.key.text;
    if (is_one_of(key, kHeadKeys)) continue;
    const std::string words = node_words(member.value);
    if (is_one_of(key, kPlainKeys)) {
      parts.push_back(words);
      continue;
    }
    std::string name = key;
    std::replace(name.begin(), name.end(), '_', ' ');
    parts.push_back(fmt::format("{}: {}", name, words));
  }
  return joined(parts, ", ");
}

std::string_view kind_of(const Entry& entry) {
  const TagInfo& tag = *type_of<Entry>().tag;
  return tag.alternatives[tag.index(&entry)]().name;
}

}  // namespace

std::string case_text(const LoadedCase& loaded, const TextStyle& style) {
  const Case& value = loaded.value;
  std::string out = bold(value.title.value_or(value.name), style) + "\n";
  if (value.invented.value_or(false)) out = "INVENTED, NOT FOR REAL WORK\n" + out;
  std::vector<std::string> drives;
  for (const LoadedDrive& drive : loaded.drives) drives.push_back(drive.drive.name);
  out += drives.empty()       ? "no drive\n"
         : drives.size() == 1 ? fmt::format("drive {}\n", drives.front())
                              : fmt::format("one of the drives {}\n", joined(drives, ", "));
  std::map<std::string, std::string> replaced_by;
  for (const Entry& entry : value.entries)
    if (entry.replaces) replaced_by.emplace(*entry.replaces, entry.id);

  for (const Entry& entry : value.entries) {
    std::string line = fmt::format("{:<5}", entry.id);
    if (entry.at) line += fmt::format(" {}", entry.at->text);
    if (entry.by) line += fmt::format(" {}", *entry.by);
    line += fmt::format("{} {}", entry.at || entry.by ? "," : "", kind_of(entry));
    if (entry.replaces) line += fmt::format(" (replaces {})", *entry.replaces);
    if (const auto found = replaced_by.find(entry.id); found != replaced_by.end())
      line += fmt::format(" (REPLACED by {})", found->second);
    out += fmt::format("\n{}\n      {}\n", line, wrapped(entry_words(entry), style.width - 6, 6));
  }
  out += fmt::format("\n{} entr{}, {} of them replaced\n", value.entries.size(),
                     value.entries.size() == 1 ? "y" : "ies", replaced_by.size());
  return out;
}

}  // namespace tautmark::cli
