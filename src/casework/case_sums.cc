// SPDX-License-Identifier: Apache-2.0
#include "casework/case_sums.h"

#include <fmt/format.h>

#include <fstream>
#include <map>
#include <vector>

#include "base/hash.h"
#include "base/text.h"
#include "casework/case_check.h"
#include "casework/case_fields.h"
#include "casework/load.h"
#include "casework/whole.h"

namespace tautmark {
namespace {

namespace fs = std::filesystem;

std::optional<std::string> sum_of_file(const fs::path& path) {
  std::error_code code;
  if (!fs::is_regular_file(path, code)) return std::nullopt;
  std::ifstream in(path, std::ios::binary);
  std::vector<char> room(std::size_t{256} << 10U);
  Sha256 sum;
  while (in) {
    in.read(room.data(), static_cast<std::streamsize>(room.size()));
    sum.add({room.data(), static_cast<std::size_t>(in.gcount())});
  }
  return in.eof() ? std::optional(sum.hex()) : std::nullopt;
}

}  // namespace

Parsed<Case> read_case_alone(const TextFileRef& file) {
  const auto node = parse_tree(file);
  if (!node) return tl::make_unexpected(node.error());
  Case value;
  Diagnostics diagnostics;
  ReadContext context;
  context.diagnostics = &diagnostics;
  if (const Node* sign = node->find("decimal_sign"); sign != nullptr && sign->text == "comma")
    context.rules.decimal_sign = ',';
  read_record(*node, value, context);
  if (has_errors(diagnostics)) return tl::make_unexpected(std::move(diagnostics));
  return value;
}

CaseChecked check_sums(
    const Case& value,
    const std::function<std::optional<std::string>(const std::string&)>& sum_of) {
  CaseChecked checked;
  std::map<std::string, std::optional<std::string>> known;  // each file is read once
  const auto check = [&](const std::string& id, const std::string& name,
                         const std::optional<std::string>& said) {
    const auto [found, is_new] = known.try_emplace(name);
    if (is_new && !path_problem(name)) found->second = sum_of(name);
    ++checked.files;
    if (said) ++checked.sums;
    if (!found->second)
      checked.problems.push_back(fmt::format("entry {}: \"{}\" is missing", id, clipped(name)));
    else if (said && folded(*said) != *found->second)
      checked.problems.push_back(fmt::format(
          "entry {}: \"{}\" was changed: its SHA-256 is not the entry's", id, clipped(name)));
  };
  for (const Entry& entry : value.entries) {
    if (const auto* attachment = std::get_if<Attachment>(&entry.body))
      check(entry.id, attachment->file, std::nullopt);
    if (const auto* trace = std::get_if<TorqueTrace>(&entry.body))
      check(entry.id, trace->file, trace->sha256);
    if (const auto* recording = std::get_if<SensorRecording>(&entry.body)) {
      if (recording->file) check(entry.id, *recording->file, recording->sha256);
      if (recording->command_log) check(entry.id, *recording->command_log, std::nullopt);
    }
  }
  return checked;
}

Parsed<CaseChecked> verify_case_folder(const std::string& case_name) {
  const auto path = case_file_of(case_name);
  if (!path) return tl::make_unexpected(path.error());
  const auto file = load_text_file(*path, path->generic_string());
  if (!file) return tl::make_unexpected(file.error());
  const auto value = read_case_alone(*file);
  if (!value) return tl::make_unexpected(value.error());
  const fs::path folder = folder_of(*path);
  return check_sums(*value, [&](const std::string& name) { return sum_of_file(folder / name); });
}

}  // namespace tautmark
